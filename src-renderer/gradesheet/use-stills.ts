import { useEffect, useState } from "react";
import type { ReportAssets, StillWanted } from "#core/report/document";
import { makeStills } from "../stage/report/make-stills.ts";

export const filmAddress = (filmId: string): string => new URL(`/film/${filmId}`, location.href).href;

/** The stills of the report in view, as they are made; begun again when others are wanted. */
export function useStills(stills: readonly StillWanted[]): ReportAssets {
  const [assets, setAssets] = useState<ReportAssets>(new Map());
  const wanted = stills.map(({ key }) => key).join(" ");
  useEffect(() => {
    const control = new AbortController();
    setAssets(new Map());
    makeStills(stills, {
      urlOf: filmAddress,
      signal: control.signal,
      onStill: ({ key, bytes }) => {
        if (!control.signal.aborted) setAssets((before) => new Map(before).set(key, { type: "image/jpeg", bytes }));
      },
    }).catch(() => undefined);
    return () => control.abort();
    // Their keys say all of them: film, frame and box.
    // eslint-disable-next-line react-hooks/exhaustive-deps
  }, [wanted]);
  return assets;
}
