import type { Book, RuleList } from "./book.ts";
import { ruleLists } from "./book.ts";
import { bookFaults, type BookFault, pathText, type RuleFault } from "./book-faults.ts";
import {
  type BookExtension,
  extensionShape,
  faultOf,
  parseBook,
  type ParsedBook,
  plainBookShape,
} from "./book-shape.ts";

/** The file of a book as parsed JSON, by the book's id; undefined for one that is not there. */
export type BookFiles = (bookId: string) => unknown;

/**
 * A whole book from its file, which may extend another. Refused with the path in the file: an unknown base, a ring of
 * bases, and rules that contradict each other once they lie together.
 */
export function resolveBook(json: unknown, files: BookFiles): ParsedBook {
  return resolved(json, files, []);
}

function resolved(json: unknown, files: BookFiles, above: readonly string[]): ParsedBook {
  if (typeof json !== "object" || json === null || !("extends" in json)) return parseBook(json);
  const parsed = extensionShape.safeParse(json);
  if (!parsed.success) return { ok: false, fault: faultOf(parsed.error) };
  const file = parsed.data;
  const chain = [...above, file.id];
  const refuse = (message: string): ParsedBook => ({ ok: false, fault: { path: "extends", message } });
  if (chain.includes(file.extends)) return refuse(`a ring of books: ${[...chain, file.extends].join(" extends ")}`);
  const baseJson = files(file.extends);
  if (baseJson === undefined) return refuse(`there is no book ${file.extends}`);
  const base = resolved(baseJson, files, chain);
  if (!base.ok) return refuse(`${file.extends} is not a sound book: ${base.fault.path}: ${base.fault.message}`);
  return laidTogether(file, base.book);
}

function laidTogether(file: BookExtension, base: Book): ParsedBook {
  const without = new Set(file.without ?? []);
  const known = new Set(ruleLists.flatMap((list) => base[list].map(({ id }) => id)));
  const gone = (file.without ?? []).findIndex((id) => !known.has(id));
  if (gone >= 0) {
    const message = `${base.id} has no rule ${file.without?.[gone] ?? ""}`;
    return { ok: false, fault: { path: `without[${gone}]`, message } };
  }
  const { format, formatVersion, id, name, edition, caution } = file;
  const rules = Object.fromEntries(ruleLists.map((list) => [list, rulesOf(list, file, base, without)]));
  const parsed = plainBookShape.safeParse({
    format,
    formatVersion,
    id,
    name,
    edition,
    caution,
    positions: file.positions ?? base.positions,
    grading: file.grading ?? base.grading,
    ...rules,
  });
  if (!parsed.success) return { ok: false, fault: faultOf(parsed.error) };
  const fault = bookFaults(parsed.data)[0];
  return fault ? { ok: false, fault: inFile(fault, file, parsed.data, base) } : { ok: true, book: parsed.data };
}

/** The base's rules with the file's in place of those of the same id; the others of the file come first, to be tried first. */
function rulesOf(list: RuleList, file: BookExtension, base: Book, without: ReadonlySet<string>) {
  const own: readonly { readonly id: string }[] = file[list] ?? [];
  const under: readonly { readonly id: string }[] = base[list];
  const inBase = new Set(under.map(({ id }) => id));
  const replaced = new Map(own.map((rule) => [rule.id, rule]));
  return [
    ...own.filter(({ id }, index) => !inBase.has(id) || own.findIndex((rule) => rule.id === id) < index),
    ...under.filter(({ id }) => !without.has(id)).map((rule) => replaced.get(rule.id) ?? rule),
  ];
}

/** Where a fault of the whole lies in the file; at `extends` when it is a rule of the base that no longer fits. */
function inFile({ path, message }: RuleFault, file: BookExtension, whole: Book, base: Book): BookFault {
  const [list, index, ...rest] = path;
  if (list === "positions" && file.positions) return { path: pathText(path), message };
  const isRule = ruleLists.find((one) => one === list);
  if (isRule && typeof index === "number") {
    const id = whole[isRule][index]?.id;
    const own = file[isRule]?.findLastIndex((rule) => rule.id === id) ?? -1;
    if (own >= 0) return { path: pathText([isRule, own, ...rest]), message };
    return { path: "extends", message: `${id ?? ""} of ${base.id}: ${message}` };
  }
  return { path: "extends", message };
}
