import { type Book, type RuleList, ruleLists } from "./book.ts";

/** One value that two books do not share, by its path within the rule; null where a book does not have it. */
export type ValueDifference = { readonly path: string; readonly left: string | null; readonly right: string | null };

export type RuleDifference = {
  readonly list: RuleList | "grading" | "positions";
  readonly id: string;
  readonly kind: "left-only" | "right-only" | "changed";
  readonly values: readonly ValueDifference[];
};

export type Comparison = { readonly differences: readonly RuleDifference[]; readonly same: number };

/** Two books rule by rule, by id, in the order of the left one; rules that only the right one has come last of their list. */
export function compareBooks(left: Book, right: Book): Comparison {
  const differences: RuleDifference[] = [];
  let same = 0;
  const compare = (
    list: RuleDifference["list"],
    ours: readonly { readonly id: string }[],
    theirs: readonly { readonly id: string }[],
  ) => {
    const others = new Map(theirs.map((rule) => [rule.id, rule]));
    for (const rule of ours) {
      const other = others.get(rule.id);
      if (!other) {
        differences.push({ list, id: rule.id, kind: "left-only", values: [] });
        continue;
      }
      const values = differing(rule, other);
      if (values.length > 0) differences.push({ list, id: rule.id, kind: "changed", values });
      else same++;
    }
    const known = new Set(ours.map(({ id }) => id));
    for (const { id } of theirs) if (!known.has(id)) differences.push({ list, id, kind: "right-only", values: [] });
  };
  compare("positions", left.positions, right.positions);
  compare("grading", [{ id: "grading", ...left.grading }], [{ id: "grading", ...right.grading }]);
  for (const list of ruleLists) compare(list, left[list], right[list]);
  return { differences, same };
}

function differing(left: object, right: object): ValueDifference[] {
  const [a, b] = [valuesOf(left), valuesOf(right)];
  const paths = [...a.keys(), ...[...b.keys()].filter((path) => !a.has(path))];
  return paths.flatMap((path): ValueDifference[] => {
    const [here, there] = [a.get(path) ?? null, b.get(path) ?? null];
    return here === there ? [] : [{ path, left: here, right: there }];
  });
}

/** Every value of a rule by its path; what is null says as much as what is left out. */
function valuesOf(rule: object): Map<string, string> {
  const values = new Map<string, string>();
  const walk = (value: unknown, path: string) => {
    if (value === null || value === undefined) return;
    if (Array.isArray(value)) values.set(path, value.join(", "));
    else if (typeof value === "object")
      for (const [key, item] of Object.entries(value)) walk(item, path === "" ? key : `${path}.${key}`);
    else values.set(path, typeof value === "string" ? value : JSON.stringify(value));
  };
  walk(rule, "");
  return values;
}
