/** A packaged program has no packages: what writes reports is in its bundle whole, but for the fonts beside the sources. */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { build } from "vite";
import { projectRoot } from "../../helpers/launch.ts";
import { readPdf } from "../../helpers/read-pdf.ts";

test("a bundle with no packages beside it writes the PDF", async () => {
  const folder = mkdtempSync(join(tmpdir(), "crewglass-bundle-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  await build({
    configFile: false,
    root: projectRoot,
    logLevel: "silent",
    ssr: { noExternal: true },
    build: { ssr: join(projectRoot, "src-main", "reports", "pdf-report.ts"), outDir: folder, emptyOutDir: false },
  });
  const [bundle] = readdirSync(folder).filter((name) => name.startsWith("pdf-report."));
  writeFileSync(join(folder, "package.json"), '{ "type": "module" }');
  writeFileSync(
    join(folder, "run.js"),
    `import { readFileSync, writeFileSync } from "node:fs";
import { pdfReport } from "./${bundle}";
const font = (name) => new Uint8Array(readFileSync(process.argv[2] + "/" + name + ".ttf"));
const fonts = { sans: font("DejaVuSans"), bold: font("DejaVuSans-Bold"), serif: font("DejaVuSerif-Bold") };
const report = { title: "Herons", lines: [], footer: "Private", blocks: [{ kind: "text", tone: "plain", text: "Said." }] };
writeFileSync("out.pdf", await pdfReport(report, new Map(), { fonts, madeAt: new Date(0) }));
`,
  );
  const fonts = join(projectRoot, "src-main", "reports", "fonts");
  const { status, stderr } = spawnSync(process.execPath, ["run.js", fonts], { cwd: folder, encoding: "utf8" });
  expect(stderr).toBe("");
  expect(status).toBe(0);
  const { pages } = await readPdf(new Uint8Array(readFileSync(join(folder, "out.pdf"))));
  expect(pages[0]!.text).toBe("Herons Said. Private page 1 of 1");
});
