/**
 * Versions of what was said, and their order.
 *
 * A version names those it follows, so that the versions of one subject (a cell of the sheet and its author, or a ruling)
 * are a graph in which "later" means "said by somebody who had the other before them". Its id is a hash of its content and of the ids
 * it follows: the same version has the same id in every library, and what is said under an id cannot be changed.
 *
 * A library holds a set of versions, and an import adds those it lacks. Sets do not know in which order they were put together or how
 * often, hence neither does an import. Versions that none follows are the heads. One head stands. Several are a conflict: all stay,
 * and until a person has chosen, the one stands that comes last by
 *   1. its count, one more than that of the versions it follows,
 *   2. the time it was said,
 *   3. its id, where all else is equal.
 * What is said here follows the one that stands, and so comes last itself; what settles a conflict follows all its heads.
 */
import type { Grade, Ruling } from "../game/records.ts";
import { canonicalText, type Hash } from "./canonical.ts";

export type SaidFamily = "grade" | "ruling";
export const saidActs = ["given", "changed", "taken back"] as const;

type Content = {
  readonly gameId: string;
  readonly recordId: string;
  readonly subject: string;
  readonly act: (typeof saidActs)[number];
  /** The points, or the ruling in words. */
  readonly said: string;
  readonly reason: string;
  /** Who said it, or who settled it. */
  readonly authorId: string;
  readonly at: string;
} & (
  | { readonly family: "grade"; readonly record: Grade | null }
  // The record whole; null where it was taken back, and in versions from before they were kept whole.
  | { readonly family: "ruling"; readonly record: Ruling | null }
);

export type SaidVersion = Content & { readonly id: string; readonly after: readonly string[] };

/** A version as a library keeps it: its own are without id and place until they are asked for. */
export type KeptVersion = Content & { readonly id: string | null; readonly after: readonly string[] | null };

/** What a grade is about: a cell of its author's. A grade taken back and given anew has another id and is about the same. */
export function gradeSubject({ playId, position, criterion, authorId }: Grade): string {
  return `${playId ?? ""}/${position}/${criterion}/${authorId}`;
}

export function subjectOf(family: SaidFamily, record: Grade | Ruling): string {
  return family === "grade" ? gradeSubject(record as Grade) : record.id;
}

export function versionId(version: Content, after: readonly string[], hash: Hash): string {
  const { gameId, recordId, subject, family, act, said, reason, authorId, at, record } = version;
  const content = { gameId, recordId, subject, family, act, said, reason, authorId, at, record };
  return hash(canonicalText({ ...content, after: after.toSorted() }));
}

export type Subject = { readonly versions: SaidVersion[]; heads: SaidVersion[] };

/** The versions of a game by subject, as they are added, each after those it follows. */
export class Versions {
  readonly bySubject = new Map<string, Subject>();
  readonly #counts = new Map<string, number>();
  readonly #byId = new Map<string, SaidVersion>();

  static of(versions: readonly SaidVersion[]): Versions {
    const all = new Versions();
    for (const version of versions) all.add(version);
    return all;
  }

  static keyOf({ family, subject }: Pick<SaidVersion, "family" | "subject">): string {
    return `${family}/${subject}`;
  }

  add(version: SaidVersion): void {
    if (this.has(version.id)) return;
    const key = Versions.keyOf(version);
    const subject = this.bySubject.get(key) ?? { versions: [], heads: [] };
    this.bySubject.set(key, subject);
    subject.versions.push(version);
    subject.heads = [...subject.heads.filter(({ id }) => !version.after.includes(id)), version];
    this.#counts.set(version.id, 1 + Math.max(0, ...version.after.map((id) => this.countOf(id))));
    this.#byId.set(version.id, version);
  }

  has(id: string): boolean {
    return this.#counts.has(id);
  }

  get(id: string): SaidVersion | undefined {
    return this.#byId.get(id);
  }

  countOf(id: string): number {
    return this.#counts.get(id) ?? 0;
  }

  /** The version of a subject that stands; null where nothing was ever said. */
  standing(key: string): SaidVersion | null {
    const heads = this.bySubject.get(key)?.heads ?? [];
    return heads.reduce<SaidVersion | null>(
      (last, one) => (last === null || this.#isLater(one, last) ? one : last),
      null,
    );
  }

  #isLater(a: SaidVersion, b: SaidVersion): boolean {
    const byCount = this.countOf(a.id) - this.countOf(b.id);
    if (byCount !== 0) return byCount > 0;
    if (a.at !== b.at) return a.at > b.at;
    return a.id > b.id;
  }
}

/** The versions that a library keeps, in the order it wrote them, with an id and a place for its own. */
export function stamped(kept: readonly KeptVersion[], hash: Hash): SaidVersion[] {
  const all = new Versions();
  const versions: SaidVersion[] = [];
  for (const one of kept) {
    const standing = one.after === null ? all.standing(Versions.keyOf(one)) : null;
    const after = one.after ?? (standing ? [standing.id] : []);
    const version: SaidVersion = { ...one, after, id: one.id ?? versionId(one, after, hash) };
    all.add(version);
    versions.push(version);
  }
  return versions;
}

/** Every version that none follows: what stands, and what could be chosen instead. */
export function headsOf(all: Versions): SaidVersion[] {
  return [...all.bySubject.values()].flatMap(({ heads }) => heads);
}

/** The scales that grades are of, those that could be chosen included. */
export function scalesUsed(heads: readonly SaidVersion[]): string[] {
  const ids = heads.flatMap((head) => (head.family === "grade" && head.record ? [head.record.scaleId] : []));
  return [...new Set(ids)].toSorted();
}

/** The version that settles a conflict: it says again what was chosen, and follows every head. */
export function settlingVersion(
  { heads }: Subject,
  chosen: SaidVersion,
  by: { readonly authorId: string; readonly at: string },
  hash: Hash,
): SaidVersion {
  const act: Content["act"] = chosen.act === "taken back" ? chosen.act : "changed";
  const after = heads.map(({ id }) => id).toSorted();
  const content = { ...chosen, act, ...by };
  return { ...content, after, id: versionId(content, after, hash) };
}

/** Versions sorted so that equal sets are equal lists, each after those it follows. */
export function inOrder(versions: readonly SaidVersion[]): SaidVersion[] {
  const all = Versions.of(versions);
  return versions.toSorted((a, b) => all.countOf(a.id) - all.countOf(b.id) || (a.id < b.id ? -1 : 1));
}
