import { useMemo } from "react";
import { base64Of } from "#core/report/base64";
import type { Figure } from "#core/report/document";
import { svgOf } from "#core/report/svg";

export function FigureView({ figure, still }: { readonly figure: Figure; readonly still: Uint8Array | null }) {
  // A picture file: whatever is written in it, nothing in it runs.
  const address = useMemo(() => {
    const under = still === null ? null : `data:image/jpeg;base64,${base64Of(still)}`;
    return `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svgOf(figure.picture, "", under))}`;
  }, [figure, still]);
  return (
    <figure>
      <img src={address} alt={figure.alt} />
      <figcaption>{figure.caption}</figcaption>
    </figure>
  );
}
