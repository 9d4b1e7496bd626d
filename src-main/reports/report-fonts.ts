import { readFileSync } from "node:fs";
import { join } from "node:path";

/** The faces of a report on paper. Every one is embedded; none is looked for on the machine that opens the report. */
export type Face = "sans" | "bold" | "serif";
export type ReportFonts = Readonly<Record<Face, Uint8Array>>;

/** `programFolder` is the folder of package.json, where the fonts lie beside the sources, in a packaged program too. */
export function readReportFonts(programFolder: string): ReportFonts {
  const read = (name: string) =>
    new Uint8Array(readFileSync(join(programFolder, "src-main", "reports", "fonts", name)));
  return {
    sans: read("DejaVuSans.ttf"),
    bold: read("DejaVuSans-Bold.ttf"),
    serif: read("DejaVuSerif-Bold.ttf"),
  };
}
