import type { ReportAssets } from "#core/report/document";
import type { Still } from "./pdf-picture.ts";

/** Stills by key, each read once however often it is drawn. Null where there is none, or none that can be read. */
export type Stills = (key: string | null) => Still | null;

export function stillsOf(pdf: PDFKit.PDFDocument, assets: ReportAssets): Stills {
  const read = new Map<string, Still | null>();
  return (key) => {
    if (key === null) return null;
    let still = read.get(key);
    if (still === undefined) {
      still = opened(pdf, assets, key);
      read.set(key, still);
    }
    return still;
  };
}

function opened(pdf: PDFKit.PDFDocument, assets: ReportAssets, key: string): Still | null {
  const asset = assets.get(key);
  if (asset?.type !== "image/jpeg") return null;
  try {
    return (pdf as unknown as { openImage(source: Uint8Array): Still }).openImage(asset.bytes);
  } catch {
    // Not a JPEG after all: the report is worth more than the picture.
    return null;
  }
}
