/** Calls of the contract: valid, nearly valid, nonsense, and edits of what is there. */
import { join } from "node:path";
import fc from "fast-check";
import type { z } from "zod";
import { contract } from "#core/contract/contract";
import { changeShape } from "#core/contract/shapes";
import { shippedFiles } from "#core/mechanics/shipped-books";
import { hostileTexts, insideOf, nearly, ofShape, type Pools } from "../helpers/of-shape.ts";

export type Places = {
  readonly root: string;
  /** The only folder beside the library's in which anything may be written. */
  readonly exports: string;
  readonly films: readonly string[];
  readonly packets: readonly string[];
  readonly folders: readonly string[];
};

export type Call = {
  readonly operation: string;
  readonly kind: "valid" | "nearly valid" | "nonsense" | "edit";
  readonly input: unknown;
  readonly output: z.ZodType | "stream" | undefined;
  /** An edit of what stands then: the record `index` of a family with the property as `value` has it; null takes it away. */
  readonly edit?: {
    readonly gameId: string;
    readonly family: string;
    readonly index: number;
    readonly property: string | null;
    readonly value: unknown;
  };
};

type Operation = { readonly name: string; readonly input: z.ZodType | undefined; readonly output: Call["output"] };

export const operations: readonly Operation[] = Object.entries(contract).flatMap(([group, members]) =>
  Object.entries(members).map(([name, member]) => {
    const { inputSchema, outputSchema } = member["~orpc"] as { inputSchema?: z.ZodType; outputSchema?: z.ZodType };
    const isStream = outputSchema !== undefined && !("_zod" in outputSchema);
    return { name: `${group}.${name}`, input: inputSchema, output: isStream ? ("stream" as const) : outputSchema };
  }),
);

const owned = [
  "film",
  "film-2",
  "play",
  "angle",
  "moment",
  "stake-1",
  "line",
  "carry",
  "mark-1",
  "grade",
  "ruling",
  "note",
];
const knownIds = [
  ...["game-1", "game-2", "game-3"].flatMap((id) => [id, ...owned.map((of) => `${id}-${of}`)]),
  ...shippedFiles.map(({ id }) => id),
  ...["flag-100x40", "five-points", "observer-1", "__proto__", "constructor"],
];

function poolsOf(places: Places): Pools {
  // Ids that the library makes up: exports, games, books, films, in the order of the calls.
  const made = fc.integer({ min: 1, max: 400 }).map((number) => `made-${number}`);
  const ids = fc.oneof(
    { weight: 8, arbitrary: fc.constantFrom(...knownIds) },
    { weight: 3, arbitrary: made },
    { weight: 1, arbitrary: fc.stringMatching(/^[A-Za-z0-9_-]{1,64}$/u) },
  );
  const odd = [
    "relative/film.mp4",
    "..",
    "~",
    "C:\\film.mp4",
    "\\\\host\\share",
    "file:///etc/passwd",
    "http://127.0.0.1/",
    "\0",
  ];
  const inRoot = [
    `${places.root}/a\0b`,
    join(places.root, "none", "x.mp4"),
    `${places.root}/${"x".repeat(300)}`,
    `${places.folders[0]}/../home`,
  ];
  const readable = [...places.films, ...places.packets, ...places.folders, "/", "/dev/null", "/etc/passwd"];
  const path = fc.constantFrom(...odd, ...inRoot, ...readable);
  const { exports } = places;
  const into = [
    exports,
    join(exports, "deeper", "still"),
    `${exports}/../exports/x`,
    `${exports}/a\0b`,
    `${exports}/${"x".repeat(300)}`,
  ];
  const file = fc.constantFrom(
    "a.html",
    "b.csv",
    "../x",
    "/etc/x",
    "con",
    "a/b",
    ".hidden",
    "x".repeat(119),
    "a\0b",
    ...hostileTexts,
  );
  const books = shippedFiles.map((book) => JSON.stringify(book));
  const brokenBooks = fc
    .tuple(fc.constantFrom(...books), fc.nat(1e6), fc.constantFrom("", "}", "\\u0000", '"__proto__":{},', "9e999"))
    .map(([text, at, put]) => text.slice(0, at % text.length) + put + text.slice((at % text.length) + 3));
  const usually = (...known: readonly string[]) =>
    fc.oneof({ weight: 6, arbitrary: fc.constantFrom(...known) }, { weight: 1, arbitrary: ids });
  return {
    ids,
    named: {
      path,
      folder: fc.oneof(path, fc.constantFrom(...into)),
      file,
      watchedFolder: path,
      bookText: fc.oneof(fc.constantFrom(...books), brokenBooks),
      gameId: usually("game-1", "game-2"),
      filmId: usually("game-1-film", "game-1-film-2"),
      bookId: usually(...shippedFiles.map(({ id }) => id), recent("bookId")),
      exportId: usually(recent("exportId")),
      filmPath: fc.oneof(fc.constantFrom(...places.films), path),
      packetPath: fc.oneof(fc.constantFrom(...places.packets), path),
      dropped: usually(recent("id")),
    },
  };
}

/** Stands for what the last reply that had the property said there. */
export const recent = (property: string): string => `recent-${property}`;

/** Export folders are made where they are not there: only these may be asked for. */
const writesInto = new Set(["exports.begin", "packets.write"]);

export function callsOf(places: Places): fc.Arbitrary<Call> {
  const pools = poolsOf(places);
  const named = (name: string): Pools => {
    const { filmPath, packetPath, bookText, dropped, ...rest } = pools.named as Record<string, fc.Arbitrary<string>>;
    const allowed = (at: string) => !at.startsWith("/") || at.startsWith(places.exports);
    return {
      ids: pools.ids,
      named: {
        ...rest,
        ...(writesInto.has(name) ? { folder: rest["folder"]!.filter(allowed) } : {}),
        ...(name.startsWith("films.") ? { path: filmPath! } : {}),
        ...(name.startsWith("packets.") ? { path: packetPath! } : {}),
        ...(name.startsWith("books.") ? { text: bookText! } : {}),
        ...(name === "packets.drop" ? { id: dropped! } : {}),
      },
    };
  };
  const perOperation = operations.map(({ name, input, output }) => {
    const call = (kind: Call["kind"], made: fc.Arbitrary<unknown>) =>
      made.map((value): Call => ({ operation: name, kind, input: value, output }));
    const valid = input === undefined ? fc.constant(undefined) : ofShape(input, named(name));
    return fc.oneof(
      { weight: 5, arbitrary: call("valid", valid) },
      { weight: 4, arbitrary: call("nearly valid", nearly(valid)) },
      { weight: 1, arbitrary: call("nonsense", nonsense) },
    );
  });
  return fc.oneof({ weight: 4, arbitrary: fc.oneof(...perOperation) }, { weight: 1, arbitrary: edits(named("")) });
}

const nonsense = fc.anything({
  withBigInt: true,
  withDate: true,
  withMap: true,
  withSet: true,
  withNullPrototype: true,
});

function edits(pools: Pools): fc.Arbitrary<Call> {
  const { output } = operations.find(({ name }) => name === "games.commit")!;
  const families = insideOf(changeShape).options!.map((option) => {
    const { family, after } = insideOf(option).shape!;
    const record = insideOf(after!).innerType!;
    const shapes = insideOf(record).options ?? [record];
    return { family: insideOf(family!).values![0] as string, shapes };
  });
  return fc.oneof(
    ...families.flatMap(({ family, shapes }) =>
      shapes.map((shape) =>
        fc
          .record({
            gameId: fc.constantFrom("game-1", "game-2"),
            index: fc.nat(5),
            property: fc.option(fc.constantFrom(...Object.keys(insideOf(shape).shape!)), { nil: null, freq: 8 }),
            value: ofShape(shape, pools),
          })
          .map((edit): Call => ({
            operation: "games.commit",
            kind: "edit",
            input: null,
            output,
            edit: { family, ...edit },
          })),
      ),
    ),
  );
}
