import { type Book, type RuleList, ruleLists } from "./book.ts";
import { bookText } from "./book-text.ts";

/**
 * The text of a book's file with one value of one rule changed. A rule that a file takes over from its base is written
 * into it first. Null when the text is not a book's JSON, or `whole`, the book as it reads, has no such rule.
 *
 * @param path within the rule, as "depth.yards.from"; only values that are there can be changed.
 */
export function withRuleValue(text: string, whole: Book, ruleId: string, path: string, value: unknown): string | null {
  const file = parsed(text);
  const list = ruleLists.find((one) => whole[one].some(({ id }) => id === ruleId));
  if (file === null || list === undefined) return null;
  const rules = rulesIn(file, list);
  const own = rules.findIndex((rule) => rule["id"] === ruleId);
  const said = own >= 0 ? rules[own] : whole[list].find(({ id }) => id === ruleId);
  const rule = JSON.parse(JSON.stringify(said)) as Loose;
  const keys = path.split(".");
  let holder = rule;
  for (const key of keys.slice(0, -1)) {
    const inner = holder[key];
    if (typeof inner !== "object" || inner === null) return null;
    holder = inner as Loose;
  }
  holder[keys.at(-1) ?? ""] = value;
  const changed = own >= 0 ? rules.with(own, rule) : [...rules, rule];
  return bookText({ ...file, [list]: changed });
}

type Loose = Record<string, unknown>;

function parsed(text: string): Loose | null {
  try {
    const json = JSON.parse(text) as unknown;
    return typeof json === "object" && json !== null && !Array.isArray(json) ? (json as Loose) : null;
  } catch {
    return null;
  }
}

function rulesIn(file: Loose, list: RuleList): readonly Loose[] {
  const rules = file[list];
  return Array.isArray(rules) ? (rules as Loose[]) : [];
}

/** The value of a rule at a path, as it stands in the text of a file; undefined where the file does not say it. */
export function ruleValue(text: string, ruleId: string, path: string): unknown {
  const file = parsed(text);
  if (file === null) return undefined;
  for (const list of ruleLists) {
    const rule = rulesIn(file, list).find((one) => one["id"] === ruleId);
    if (!rule) continue;
    let value: unknown = rule;
    for (const key of path.split(".")) {
      if (typeof value !== "object" || value === null) return undefined;
      value = (value as Loose)[key];
    }
    return value;
  }
  return undefined;
}

/** Where a rule stands in the text of a file, as a fault names it: "stations[2]"; null where the file does not hold it. */
export function rulePath(text: string, ruleId: string): string | null {
  const file = parsed(text);
  if (file === null) return null;
  for (const list of ruleLists) {
    const index = rulesIn(file, list).findIndex((one) => one["id"] === ruleId);
    if (index >= 0) return `${list}[${index}]`;
  }
  return null;
}
