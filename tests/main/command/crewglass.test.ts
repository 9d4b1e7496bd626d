/** The command for scripts, as a script calls it: what it prints, what it leaves, and how it ends. */
import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { parseCommand } from "../../../src-main/command/arguments.ts";
import { projectRoot } from "../../helpers/launch.ts";
import { observersPackets } from "../../helpers/observers-packets.ts";
import { mustOpen, openTemporary, temporaryFolder } from "../store/temporary-library.ts";

function crewglass(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, ["src-main/command/crewglass.ts", ...args], {
    cwd: projectRoot,
    encoding: "utf8",
  });
  return { status, stdout, stderr };
}

test("packets are taken in, the library is checked, totalled and reported, with exit codes and JSON", async () => {
  const folder = temporaryFolder();
  const { paths, grades } = await observersPackets(
    folder,
    [
      { name: "Wendeline Askew", severity: 0.7 },
      { name: "Sidony Crake", severity: -0.7 },
    ],
    4,
  );
  const library = await openTemporary();
  library.close();
  const damaged = join(folder, "damaged.crewpacket");
  writeFileSync(damaged, readFileSync(paths[0]!).subarray(0, 400));

  const first = crewglass("import", library.path, ...paths, damaged);
  expect(first.status).toBe(1);
  expect(first.stdout.match(/^taken in/gmu)).toHaveLength(8);
  expect(first.stdout).toMatch(/^refused .*damaged\.crewpacket/mu);
  const again = crewglass("import", library.path, paths[0]!, "--json");
  expect(again.status).toBe(0);
  expect(JSON.parse(again.stdout)).toMatchObject({
    packets: [{ taken: true, said: expect.stringContaining("0 new") }],
  });

  const check = crewglass("check", library.path, "--json");
  expect(check.status).toBe(0);
  const checked = JSON.parse(check.stdout) as { ok: boolean; games: { grades: number }[] };
  expect(checked.ok).toBe(true);
  expect(checked.games.reduce((sum, game) => sum + game.grades, 0)).toBe(grades);

  const totals = crewglass("totals", library.path, "--json", "--top", "1");
  expect(totals.status).toBe(0);
  const said = JSON.parse(totals.stdout) as {
    totals: { grades: number; observers: { severity: { points: number } }[] };
  };
  expect(said.totals.grades).toBe(grades);
  expect(said.totals.observers).toHaveLength(2);
  expect(crewglass("totals", library.path).stdout).toMatch(/Ivo Brandwick/u);

  const out = join(folder, "out");
  const report = crewglass("report", library.path, out);
  const withObservers = crewglass("report", library.path, out, "--observers");
  expect(withObservers.stdout).toContain("5 files written to");
  expect(report).toMatchObject({ status: 0, stdout: expect.stringContaining("4 files written to") });
  expect(readdirSync(join(out, "Season totals")).toSorted()).toEqual([
    "season.html",
    "season.json",
    "season.pdf",
    "totals.csv",
  ]);
}, 60_000);

test("what cannot be done ends with 1 and says why; a library that is not there is not made", async () => {
  const folder = temporaryFolder();
  const missing = crewglass("check", join(folder, "none.crewglass"));
  expect(missing).toMatchObject({ status: 1, stderr: expect.stringContaining("There is no library at") });
  expect(readdirSync(folder)).toEqual([]);
  const library = await openTemporary();
  expect(crewglass("check", library.path)).toMatchObject({ status: 1, stderr: expect.stringMatching(/open/u) });
  library.close();
  expect(crewglass("totals", library.path)).toMatchObject({
    status: 1,
    stderr: expect.stringContaining("no grades in this library"),
  });
  const bytes = readFileSync(library.path);
  bytes.fill(0xff, 8192, 8192 + 600);
  writeFileSync(library.path, bytes);
  expect(crewglass("check", library.path).status).toBe(1);
  await expect(mustOpen(join(folder, "new.crewglass"))).resolves.toBeDefined();
});

test.each([
  [[], /what is to be done/u],
  [["frobnicate", "x"], /no command “frobnicate”/u],
  [["check"], /which library/u],
  [["check", "a", "b"], /nothing more/u],
  [["import", "a"], /which packets/u],
  [["report", "a"], /a library and a folder/u],
  [["totals", "a", "--top", "0"], /--top/u],
  [["totals", "a", "--loud"], /loud/u],
])("%j is called otherwise than it can be", (args, sentence) => {
  expect(parseCommand(args)).toMatchObject({ ok: false, isHelp: false, sentence: expect.stringMatching(sentence) });
});

test("help is told with exit code 0, a wrong call with 2", () => {
  expect(crewglass("--help")).toMatchObject({ status: 0, stdout: expect.stringContaining("crewglass import") });
  expect(crewglass("nothing").status).toBe(2);
});
