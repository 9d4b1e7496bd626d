import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { projectRoot } from "../../helpers/launch.ts";
import { demoFilm } from "../../scene/films.ts";
import { sceneOf } from "../../scene/scene.ts";

const program = join(projectRoot, "src-main", "demo", "run-demo.ts");

test("the demo command writes findings, a still and a plan for each moment, and finds what the scene planted", () => {
  const out = mkdtempSync(join(tmpdir(), "crewglass-demo-"));
  onTestFinished(() => rmSync(out, { recursive: true, force: true }));
  const { status, stdout } = spawnSync(process.execPath, [program, out], { encoding: "utf8" });
  expect(status).toBe(0);
  const report = JSON.parse(readFileSync(join(out, "findings.json"), "utf8")) as {
    caution: string;
    moments: { play: number; findings: { ruleId: string; position: string; verdict: string }[] }[];
  };
  const missed = report.moments.flatMap((moment) =>
    moment.findings
      .filter((finding) => finding.ruleId.startsWith("ST-") && finding.verdict === "missed")
      .map((finding) => `${moment.play} ${finding.position}`),
  );
  const planted = sceneOf(demoFilm).plantedFaults.flatMap((fault) =>
    fault.kind === "depth" ? [`${fault.playNumber} ${fault.position}`] : [],
  );
  expect(missed.toSorted()).toEqual(planted.toSorted());
  expect(report.caution).toContain("not a verdict");
  const files = readdirSync(out);
  expect(files.filter((name) => name.endsWith("-still.svg"))).toHaveLength(report.moments.length);
  expect(files.filter((name) => name.endsWith("-plan.svg"))).toHaveLength(report.moments.length);
  expect(files.filter((name) => name.endsWith(".part"))).toEqual([]);
  expect(stdout).toContain(`${report.moments.length} moments written to ${out}`);
}, 60_000);

test("without a folder the demo command says how it is called", () => {
  const { status, stderr } = spawnSync(process.execPath, [program], { encoding: "utf8" });
  expect(status).toBe(1);
  expect(stderr).toContain("npm run demo -- OUT");
});
