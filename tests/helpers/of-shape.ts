/**
 * Values made from the contract's own zod shapes, so that a new property is tried without anybody thinking of it: valid ones,
 * and ones that are nearly so. What only this program can know (ids, places, books) comes from pools.
 */
import fc from "fast-check";
import type { z } from "zod";
import { idShape } from "#core/contract/shapes";

/** The little of a zod shape's inside that is read here. */
type Inside = {
  readonly type: string;
  readonly format?: string;
  readonly innerType?: z.ZodType;
  readonly element?: z.ZodType;
  readonly shape?: Readonly<Record<string, z.ZodType>>;
  readonly options?: readonly z.ZodType[];
  readonly items?: readonly z.ZodType[];
  readonly entries?: Readonly<Record<string, string | number>>;
  readonly values?: readonly unknown[];
};
/** A check of a shape: what it asks of a value. */
type Check = {
  readonly check?: string;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly value?: number;
  readonly inclusive?: boolean;
  readonly pattern?: RegExp;
};
export type Bounds = {
  readonly least: number | undefined;
  readonly most: number | undefined;
  /** `least` itself is not allowed. */
  readonly above: boolean;
  readonly pattern: RegExp | undefined;
};

export const insideOf = (shape: z.ZodType): Inside => shape._zod.def;

/** What the checks of a shape allow, of lengths and of numbers alike. */
export function boundsOf(shape: z.ZodType): Bounds {
  const checks = (shape._zod.def.checks ?? []).map((one) => one._zod.def as unknown as Check);
  const of = (...names: readonly string[]) => checks.filter(({ check }) => names.includes(check ?? ""));
  const lower = of("min_length", "greater_than").map(({ minimum, value }) => minimum ?? value!);
  const upper = of("max_length", "less_than").map(({ maximum, value }) => maximum ?? value!);
  return {
    least: lower.length === 0 ? undefined : Math.max(...lower),
    most: upper.length === 0 ? undefined : Math.min(...upper),
    above: of("greater_than").some(({ inclusive }) => inclusive === false),
    pattern: of("string_format")[0]?.pattern,
  };
}

/** Ids, and texts (or ids) by the name of the property they stand in. */
export type Pools = {
  readonly ids: fc.Arbitrary<string>;
  readonly named: Readonly<Record<string, fc.Arbitrary<string>>>;
};

const idSource = boundsOf(idShape).pattern?.source;
const mostItems = 3;

/** Text that something somewhere takes for more than text: markup, templates, formulas, paths, SQL, odd letters. */
export const hostileTexts = [
  `<img src=x onerror=window.__hit=1>`,
  `"><svg onload=window.__hit=1>`,
  `javascript:window.__hit=1`,
  `</script><script>window.__hit=1</script>`,
  "${window.__hit=1}{{constructor.constructor('window.__hit=1')()}}",
  `=HYPERLINK("http://evil.example","x")`,
  `'; DROP TABLE game; --`,
  `../../../../etc/passwd`,
  `%s%n%x`,
  `\u202Egnp.exe`,
  `a\0b`,
  `line one\r\nSet-Cookie: x=y`,
  `𝟘👩‍👩‍👧‍👦é`,
];

export function ofShape(shape: z.ZodType, pools: Pools, name = ""): fc.Arbitrary<unknown> {
  const inside = insideOf(shape);
  const inner = () => ofShape(inside.innerType!, pools, name);
  switch (inside.type) {
    case "string":
      return textOf(shape, pools, name);
    case "number":
      return numberOf(shape);
    case "boolean":
      return fc.boolean();
    case "enum":
      return fc.constantFrom(...Object.values(inside.entries!));
    case "literal":
      return fc.constantFrom(...inside.values!);
    case "nullable":
      return fc.option(inner(), { nil: null, freq: 3 });
    case "optional":
    case "default":
      return fc.option(inner(), { nil: undefined, freq: 2 });
    case "readonly":
      return inner();
    case "array": {
      const { least = 0, most = mostItems } = boundsOf(shape);
      const length = { minLength: least, maxLength: Math.max(least, Math.min(most, mostItems)) };
      return fc.array(ofShape(inside.element!, pools, name), length);
    }
    case "tuple":
      return fc.tuple(...inside.items!.map((item) => ofShape(item, pools, name)));
    case "union":
      return fc.oneof(...inside.options!.map((option) => ofShape(option, pools, name)));
    case "object": {
      const entries = Object.entries(inside.shape!).map(([key, value]) => [key, ofShape(value, pools, key)] as const);
      return fc
        .record(Object.fromEntries(entries))
        .map((made) => Object.fromEntries(Object.entries(made).filter(([, value]) => value !== undefined)));
    }
    default:
      throw new Error(`no value is made of a ${inside.type}: teach this file`);
  }
}

function textOf(shape: z.ZodType, pools: Pools, name: string): fc.Arbitrary<string> {
  const { format } = insideOf(shape);
  const { least = 0, most = 200, pattern } = boundsOf(shape);
  const own = pools.named[name];
  if (own !== undefined) return own;
  const instant = fc.date({ min: new Date("2000-01-01"), max: new Date("2040-01-01"), noInvalidDate: true });
  if (format === "date") return instant.map((date) => date.toISOString().slice(0, 10));
  if (format === "datetime") return instant.map((date) => date.toISOString());
  if (format === "base64")
    return fc.uint8Array({ maxLength: 60 }).map((bytes) => Buffer.from(bytes).toString("base64"));
  if (pattern !== undefined) return pattern.source === idSource ? pools.ids : fc.stringMatching(pattern);
  const fitting = (text: string) => text.slice(0, most).toWellFormed().padEnd(least, "x");
  return fc.oneof(
    { weight: 3, arbitrary: fc.constantFrom(...hostileTexts).map(fitting) },
    { weight: 3, arbitrary: fc.string({ unit: "grapheme", maxLength: 20 }).map(fitting) },
    { weight: 1, arbitrary: fc.string({ unit: "binary", maxLength: 20 }).map(fitting) },
    { weight: 1, arbitrary: fc.constant("x".repeat(Math.min(most, 10_000))) },
  );
}

function numberOf(shape: z.ZodType): fc.Arbitrary<number> {
  const { least = -1e6, most = 1e6, above } = boundsOf(shape);
  if (insideOf(shape).format === "safeint") return fc.integer({ min: Math.max(least, -1e6), max: Math.min(most, 1e6) });
  return fc.double({ min: least, max: most, minExcluded: above, noNaN: true });
}

/** What no record has, put where something else stood. */
const oddities: readonly unknown[] = [
  null,
  undefined,
  Number.NaN,
  Infinity,
  -1,
  -0,
  1.5,
  2 ** 53,
  1e308,
  "",
  " ",
  "\uD800",
  "x".repeat(20_001),
  true,
  [],
  {},
  new Date(0),
  10n ** 30n,
  new Map([["a", 1]]),
  Array.from({ length: 300 }, () => []),
];

/** The value with one thing in it amiss: gone, another, twice, or too much. */
export function nearly(valid: fc.Arbitrary<unknown>): fc.Arbitrary<unknown> {
  return fc
    .tuple(valid, fc.nat(10_000), fc.nat(5), fc.constantFrom(...oddities))
    .map(([value, where, how, odd]) => changedAt(structuredClone(value), where, how, odd));
}

type Slot = { readonly of: Record<string, unknown>; readonly key: string };

function slotsIn(value: unknown): Slot[] {
  if (typeof value !== "object" || value === null) return [];
  const of = value as Record<string, unknown>;
  return Object.keys(of).flatMap((key) => [{ of, key }, ...slotsIn(of[key])]);
}

function changedAt(value: unknown, where: number, how: number, odd: unknown): unknown {
  const slots = slotsIn(value);
  const slot = slots[where % Math.max(1, slots.length)];
  if (slot === undefined) return odd;
  const { of, key } = slot;
  if (how === 0) delete of[key];
  else if (how === 1) Object.defineProperty(of, "__proto__", { value: { polluted: true }, enumerable: true });
  else if (how === 2 && !Array.isArray(of)) of["constructor"] = odd;
  else if (how === 3 && Array.isArray(of[key])) of[key] = [...(of[key] as unknown[]), ...(of[key] as unknown[])];
  else if (how === 4 && typeof of[key] === "string") of[key] = `${of[key]}\0`;
  else of[key] = odd;
  return value;
}
