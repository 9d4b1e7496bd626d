/** The season on paper and as tables: the same numbers as on the screen, read back by an independent reader (csv-parse). */
import { parse } from "csv-parse/sync";
import { expect, it } from "vitest";
import { scales } from "#core/grading/scales";
import { seasonPage } from "#core/report/season-page";
import { demoSeason } from "#core/season/demo-season";
import { eligibilityOf, noRules } from "#core/season/eligibility";
import { gamesInOrder, officialsOf, seasonGrades } from "#core/season/season-data";
import { csvTable, observersCsv, seasonJson, totalsCsv } from "#core/season/season-tables";
import { seasonTotals } from "#core/season/season-totals";
import { figure, intervalWords } from "#core/season/season-words";

const data = demoSeason();
const { grades } = seasonGrades(data, "five-points", { officials: [], observers: [], games: [] });
const totals = seasonTotals(grades, {
  scale: scales[0],
  gamesInOrder: gamesInOrder(data.games),
  minimum: { grades: 20, games: 3, observers: 2 },
  topK: 4,
  seed: 7,
  draws: 500,
});
const names = new Map(officialsOf(data.games, []).map(({ id, name }) => [id, name]));
const observers = new Map(data.observers.map(({ id, name }) => [id, name]));
const said = { nameOf: (id: string) => names.get(id) ?? id, observerOf: (id: string) => observers.get(id) ?? id };
const eligibility = totals.officials.map((total) => eligibilityOf(total, { ...noRules, leastGames: 4 }, "most"));
const page = (withObservers: boolean) =>
  JSON.stringify(
    seasonPage({
      title: "Season totals",
      madeOn: "26 November 2026",
      totals,
      scale: scales[0],
      topK: 4,
      games: data.games.length,
      eligibility,
      withObservers,
      ...said,
    }),
  );

it("every official stands on the page with raw mean, adjusted value and interval, and what the adjustment did", () => {
  const text = page(false);
  for (const total of totals.officials) {
    expect(text).toContain(said.nameOf(total.officialId));
    if (total.mean !== null) expect(text).toContain(figure(total.mean));
    if (!total.adjusted) {
      expect(text).toContain(JSON.stringify(total.withheld).slice(1, -1));
      continue;
    }
    expect(text).toContain(figure(total.adjusted.value));
    expect(text).toContain(intervalWords(total.adjusted.interval));
    expect(text).toContain(total.adjusted.sentence);
  }
  expect(text).toContain("choose nothing themselves");
});

it("observers' names and severity are on it only where they are asked for", () => {
  for (const { name } of data.observers) {
    expect(page(false)).not.toContain(name);
    expect(page(true)).toContain(name);
  }
});

it("the tables read back as what they are, numbers whole, formulas defused", () => {
  const rows = parse<Record<string, string>>(totalsCsv(totals, eligibility, said), { columns: true, bom: true });
  expect(rows).toHaveLength(totals.officials.length);
  for (const [index, total] of totals.officials.entries()) {
    expect(Number(rows[index]!["adjusted"])).toBe(total.adjusted?.value ?? 0);
    expect(rows[index]!["eligible"]).toBe(eligibility[index]!.isEligible ? "yes" : "no");
  }
  const [first] = parse<Record<string, string>>(observersCsv(totals, said), { columns: true, bom: true });
  expect(Number(first!["severity"])).toBe(totals.observers[0]!.severity!.points);
  const [hostile] = parse<Record<string, string>>(csvTable(["name"], [["@SUM(A1)"]]), { columns: true });
  expect(hostile).toEqual({ name: "'@SUM(A1)" });
  expect(csvTable(["n"], [[-1e-7]])).toContain("-1e-7");
  const json = JSON.parse(seasonJson(totals, eligibility, "five-points", said)) as { totals: unknown };
  expect(json.totals).toEqual(JSON.parse(JSON.stringify(totals)));
});
