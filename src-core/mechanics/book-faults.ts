import {
  type Book,
  type DepthRule,
  type RuleCondition,
  ruleLists,
  type WidthAnchor,
  type WidthRule,
  type WorkingSide,
} from "./book.ts";

/** A place in a book and what is wrong there, as a person would look for it in the file. */
export type BookFault = { readonly path: string; readonly message: string };

type Path = readonly (string | number | symbol)[];
export type RuleFault = { readonly path: Path; readonly message: string };

/** "stations[2].depth.yards"; "(the whole file)" for no path. */
export function pathText(path: Path): string {
  const text = path.map((part) => (typeof part === "number" ? `[${part}]` : `.${String(part)}`)).join("");
  return text.replace(/^\./u, "") || "(the whole file)";
}

/** What is wrong among the rules of a book whose every field is sound by itself, in the order of the file. */
export function bookFaults(book: Book): RuleFault[] {
  return [
    ...positionFaults(book),
    ...idFaults(book),
    ...stationFaults(book),
    ...twice(book.facings, "facings", "position", ({ position, phase, toward }) => `${position} ${phase} ${toward}`),
    ...keyFaults(book),
    ...zoneFaults(book),
    ...twice(book.handoffs, "handoffs", "reason", ({ reason }) => reason),
    ...book.looks.slice(1).map((_, index): RuleFault => {
      return { path: ["looks", index + 1], message: "a book has one rule for looks" };
    }),
    ...twice(book.counts, "counts", "counts", ({ position, counts }) => `${position} ${counts}`),
  ];
}

function positionFaults({ positions }: Book): RuleFault[] {
  return positions.flatMap(({ id }, index) =>
    positions.findIndex((other) => other.id === id) < index
      ? [{ path: ["positions", index, "id"], message: `${id} is listed twice` }]
      : [],
  );
}

function idFaults(book: Book): RuleFault[] {
  const positions = new Set(book.positions.map(({ id }) => id));
  const ids = new Set<string>();
  const faults: RuleFault[] = [];
  for (const list of ruleLists) {
    for (const [index, rule] of book[list].entries()) {
      if (ids.has(rule.id)) faults.push({ path: [list, index, "id"], message: `the id ${rule.id} is used twice` });
      ids.add(rule.id);
      if ("position" in rule && !positions.has(rule.position)) {
        const message = `${rule.position} is not a position of this book`;
        faults.push({ path: [list, index, "position"], message });
      }
    }
  }
  return faults;
}

/** Conditions as one text, so that rules for the same situations can be told. */
function conditionText(when: RuleCondition): string {
  const held = Object.entries(when).filter(([, value]) => value !== null);
  return JSON.stringify(held.toSorted(([a], [b]) => (a < b ? -1 : 1)));
}

const everySituation = conditionText({});

function stationFaults({ stations, positions }: Book): RuleFault[] {
  return stations.flatMap((rule, index): RuleFault[] => {
    const path = ["stations", index];
    const side = positions.find(({ id }) => id === rule.position)?.side;
    const text = conditionText(rule.when);
    const shadow = stations.slice(0, index).find((earlier) => {
      if (earlier.position !== rule.position || earlier.phase !== rule.phase) return false;
      const before = conditionText(earlier.when);
      return before === everySituation || before === text;
    });
    return [
      ...(shadow
        ? [{ path: [...path, "when"], message: `never reached: ${shadow.id} before it applies wherever it would` }]
        : []),
      ...conditionFaults(rule.when, side, [...path, "when"]),
      ...depthFaults(rule.depth, [...path, "depth"]),
      ...widthFaults(rule.width, rule.position, side, [...path, "width"]),
    ];
  });
}

/** Conditions that are each possible and together are not. */
function conditionFaults(when: RuleCondition, side: WorkingSide | undefined, path: Path): RuleFault[] {
  const faults: RuleFault[] = [];
  const { downs, lineToGainYards: gain, goalLineYards: goal } = when;
  if (downs && new Set(downs).size < downs.length)
    faults.push({ path: [...path, "downs"], message: "a down is listed twice" });
  if (gain && goal && gain.from >= goal.to)
    faults.push({ path: [...path, "lineToGainYards"], message: "no line to gain lies beyond the goal line" });
  if (when.receiverNearSidelineYards != null && side === "middle") {
    const message = "a position that works the middle has no sideline of its own";
    faults.push({ path: [...path, "receiverNearSidelineYards"], message });
  }
  return faults;
}

function depthFaults({ anchor, yards, atLeast, atMost }: DepthRule, path: Path): RuleFault[] {
  const faults: RuleFault[] = [];
  if (atMost && atMost.anchor === anchor && atMost.yards < yards.from)
    faults.push({ path: [...path, "atMost"], message: "the whole range lies beyond this bound" });
  if (atLeast && atLeast.anchor === anchor && atLeast.yards.from > yards.to)
    faults.push({ path: [...path, "atLeast"], message: "the whole range lies before this bound" });
  if (atLeast && atMost && atLeast.anchor === atMost.anchor && atLeast.yards.from > atMost.yards)
    faults.push({ path: [...path, "atMost"], message: "nothing lies between the two bounds" });
  return faults;
}

const sided: ReadonlySet<WidthAnchor> = new Set(["own-sideline", "own-hash", "other-hash"]);

function widthFaults(rule: WidthRule, position: string, side: WorkingSide | undefined, path: Path): RuleFault[] {
  if (side !== "middle" || (rule.side ?? "own") !== "own") return [];
  if (sided.has(rule.anchor))
    return [{ path: [...path, "anchor"], message: `${position} works the middle and has no ${rule.anchor}` }];
  if (rule.anchor !== "widest-receiver" && rule.anchor !== "end-of-line" && rule.yards.from === -rule.yards.to)
    return [];
  const message = `${position} works the middle: name a side, or count evenly to both`;
  return [{ path: [...path, "yards"], message }];
}

function keyFaults({ keys, positions }: Book): RuleFault[] {
  return [
    ...keys.flatMap((rule, index) => {
      const side = positions.find(({ id }) => id === rule.position)?.side;
      return conditionFaults(rule.when, side, ["keys", index, "when"]);
    }),
    ...twice(keys, "keys", "order", ({ position, order, when }) => `${position} ${order} ${conditionText(when)}`),
  ];
}

function zoneFaults({ zones, positions }: Book): RuleFault[] {
  const faults: RuleFault[] = [];
  const rests = new Map<string, string>();
  for (const [index, rule] of zones.entries()) {
    const path = ["zones", index];
    const side = positions.find(({ id }) => id === rule.position)?.side;
    faults.push(...conditionFaults(rule.when, side, [...path, "when"]));
    if (new Set(rule.phases).size < rule.phases.length)
      faults.push({ path: [...path, "phases"], message: "a phase is listed twice" });
    if (rule.phases.includes("pre-snap"))
      faults.push({ path: [...path, "phases"], message: "nobody has a zone before the snap" });
    if (rule.depth) faults.push(...depthFaults(rule.depth, [...path, "depth"]));
    if (rule.width) faults.push(...widthFaults(rule.width, rule.position, side, [...path, "width"]));
    if (!rule.rest && rule.depth === null && rule.width === null)
      faults.push({ path, message: "a zone without bounds must be the rest of the field" });
    if (!rule.rest) continue;
    if (rule.depth !== null || rule.width !== null)
      faults.push({ path: [...path, "rest"], message: "the rest of the field has no bounds of its own" });
    for (const phase of rule.phases) {
      const what = `${phase} ${rule.holds ?? "everybody"} ${conditionText(rule.when)}`;
      const before = rests.get(what);
      if (before !== undefined)
        faults.push({ path: [...path, "rest"], message: `${before} has the rest of the field in the ${phase} phase` });
      rests.set(what, rule.id);
    }
  }
  return faults;
}

function twice<Rule extends { readonly id: string }>(
  rules: readonly Rule[],
  list: string,
  field: string,
  same: (rule: Rule) => string,
): RuleFault[] {
  const seen = new Map<string, string>();
  return rules.flatMap((rule, index): RuleFault[] => {
    const what = same(rule);
    const before = seen.get(what);
    if (before !== undefined) return [{ path: [list, index, field], message: `${before} says this already` }];
    seen.set(what, rule.id);
    return [];
  });
}
