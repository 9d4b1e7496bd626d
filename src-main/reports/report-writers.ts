import { htmlReport } from "#core/report/html";
import type { ReportWriters } from "./export-desk.ts";
import { readReportFonts } from "./report-fonts.ts";

/** Loads what writes reports; the fonts lie beside the program. */
export async function reportWriters(programFolder: string): Promise<ReportWriters> {
  const { pdfReport } = await import("./pdf-report.ts");
  const fonts = readReportFonts(programFolder);
  return {
    html: htmlReport,
    pdf: (document, assets, signal) =>
      pdfReport(document, assets, { fonts, madeAt: new Date(), ...(signal ? { signal } : {}) }),
  };
}
