/**
 * What an import would do, as a plan. Two rules make it the same for the same packets in any order and however often:
 *
 * What was said (grades and rulings) is a set of versions and grows by those that are not here; said-versions.ts says which
 * stands. What was broken down and measured has no versions. A record that is not here is added. One that is here with another content stays
 * where it is this library's own; where it came by a packet, the content with the greater hash stands. Nobody's is the better one: it
 * only must not depend on which came first. The other is kept beside it as an alternative until a person has chosen.
 * A library remembers which contents came by packets, so that an old one does not come back over what was corrected here.
 *
 * Names of a crew are filled in where they were left off. Of two seals of one author, the earlier counts.
 */
import { type Change, put, remove } from "../game/changes.ts";
import type { CrewMember, Family, Film, Game, GameRecords, Grade, RecordOf, Ruling, Seal } from "../game/records.ts";
import { type OwnScale, type Scale, scaleById } from "../grading/scales.ts";
import { canonicalText, type Hash } from "./canonical.ts";
import { type BookFile, type Packet, type PacketPart, packetParts, withoutPath } from "./packet.ts";
import { type SaidFamily, type SaidVersion, subjectOf, Versions } from "./said-versions.ts";

/** Families without versions: those of a breakdown, and the books of a library. */
export type PlainFamily = Exclude<Family, "grade" | "ruling" | "note" | "seal"> | "book";

/** One content of a plain record, by the hash of it. */
export type PlainContent = { readonly family: PlainFamily; readonly id: string; readonly content: string };
export type Alternative = PlainContent & { readonly record: unknown };

export const broughtKey = ({ family, id, content }: PlainContent): string => `${family}/${id}/${content}`;

/** What a library has where a packet would go. */
export type Here = {
  /** Null where the game is not in the library. */
  readonly records: GameRecords | null;
  readonly versions: readonly SaidVersion[];
  /** Contents that came by packets before, as `broughtKey`. */
  readonly brought: ReadonlySet<string>;
  readonly ownBooks: ReadonlyMap<string, string>;
  readonly shippedBookIds: ReadonlySet<string>;
  readonly scales: readonly OwnScale[];
};

export type PartCount = {
  readonly part: PacketPart;
  readonly new: number;
  readonly same: number;
  readonly newerHere: number;
  readonly newerThere: number;
  readonly conflicts: number;
};

export type MergePlan = {
  readonly isNewGame: boolean;
  readonly counts: readonly PartCount[];
  readonly changes: readonly Change[];
  /** To be added, each after those it follows. */
  readonly versions: readonly SaidVersion[];
  readonly subjects: readonly SaidSubject[];
  readonly brought: readonly PlainContent[];
  readonly alternatives: readonly Alternative[];
  readonly books: readonly BookFile[];
  readonly scales: readonly Scale[];
};

/** Whether a subject that changes has several heads afterwards. */
export type SaidSubject = Pick<SaidVersion, "family" | "subject"> & { readonly isOpen: boolean };

export type PlannedMerge =
  | { readonly ok: true; readonly plan: MergePlan }
  | { readonly ok: false; readonly sentence: string };

export type Outcome = Exclude<keyof PartCount, "part">;
type Draft = {
  readonly counts: Map<PacketPart, Record<Outcome, number>>;
  readonly changes: Change[];
  readonly brought: PlainContent[];
  readonly alternatives: Alternative[];
};

export function mergePlan(here: Here, packet: Packet, hash: Hash): PlannedMerge {
  const scales = newScales(here.scales, packet.scales);
  if (!scales.ok) return scales;
  const draft: Draft = { counts: new Map(), changes: [], brought: [], alternatives: [] };
  for (const part of packetParts)
    draft.counts.set(part, { new: 0, same: 0, newerHere: 0, newerThere: 0, conflicts: 0 });
  const means: Means = { here, hash, draft };
  const { records } = here;

  mergePlain(means, "game", "game", records ? [records.game] : [], [packet.game], gameRules);
  const films: Film[] = packet.films.map((film) => ({ ...film, path: "" }));
  mergePlain(means, "films", "film", records?.films ?? [], films, filmRules);
  mergePlain(means, "plays", "play", records?.plays ?? [], packet.plays);
  mergePlain(means, "angles", "angle", records?.angles ?? [], packet.angles);
  mergePlain(means, "moments", "moment", records?.moments ?? [], packet.moments);
  mergePlain(means, "stakes", "stake", records?.stakes ?? [], packet.stakes);
  mergePlain(means, "carries", "carry", records?.carries ?? [], packet.carries);
  mergePlain(means, "marks", "mark", records?.marks ?? [], packet.marks);
  const { versions, subjects } = mergeSaid(means, packet);
  mergeSeals(means, packet.seals);
  const books = mergeBooks(means, packet.books);
  tally(draft, "scales", "new", scales.added.length);
  tally(draft, "scales", "same", packet.scales.length - scales.added.length);

  const counts = packetParts.map((part): PartCount => ({ part, ...draft.counts.get(part)! }));
  const { changes, brought, alternatives } = draft;
  const plan: MergePlan = {
    isNewGame: records === null,
    counts,
    changes,
    versions,
    subjects,
    brought,
    alternatives,
    books,
    scales: scales.added,
  };
  return { ok: true, plan };
}

/** Whether a library would be the same after it. */
export function changesNothing(plan: MergePlan): boolean {
  const lists = [plan.changes, plan.versions, plan.brought, plan.alternatives, plan.books, plan.scales];
  return !plan.isNewGame && lists.every((list) => list.length === 0);
}

type Means = { readonly here: Here; readonly hash: Hash; readonly draft: Draft };

function tally(draft: Draft, part: PacketPart, outcome: Outcome, more = 1): void {
  const counts = draft.counts.get(part);
  if (counts) counts[outcome] += more;
}

type Rules<T> = {
  /** What of a record counts as its content. */
  readonly content: (record: T) => unknown;
  /** The record as it is kept: what counts of one, and what does not of the one that is here. */
  readonly kept: (content: T, standing: T) => T;
  /** The record that is here with what one of the same content says beyond it. */
  readonly filled: (standing: T, coming: T) => T;
};

const plain: Rules<unknown> = {
  content: (record) => record,
  kept: (content) => content,
  filled: (standing) => standing,
};

/** A film lies where it lies. */
const filmRules: Rules<Film> = {
  content: (film) => withoutPath(film),
  kept: (content, { path }) => ({ ...content, path }),
  filled: (standing) => standing,
};

const gameRules: Rules<Game> = {
  content: (game) => ({ ...game, crew: game.crew.map(nameless) }),
  kept: named,
  filled: named,
};

function nameless({ position, personId }: CrewMember): Omit<CrewMember, "name"> {
  return personId === undefined ? { position } : { position, personId };
}

function named(game: Game, other: Game): Game {
  return { ...game, crew: namedCrew(game.crew, other.crew) };
}

/** What of a plain record counts as its content. */
export function plainContent(family: PlainFamily, record: unknown): unknown {
  if (family === "film") return filmRules.content(record as Film);
  return family === "game" ? gameRules.content(record as Game) : record;
}

/** A plain record as it is kept once a content is chosen for it. */
export function withContent(family: PlainFamily, content: unknown, standing: unknown): unknown {
  if (family === "film") return filmRules.kept(content as Film, standing as Film);
  if (family !== "game") return content;
  const game = content as Game;
  const crew = game.crew.map((member) => ({ ...member, name: "" }));
  return named({ ...game, crew }, standing as Game);
}

/**
 * A crew with the names that another knows of the same people, which those without an id are by their position; of two spellings the
 * longer, then the later in the alphabet.
 */
function namedCrew(crew: readonly CrewMember[], other: readonly CrewMember[]): CrewMember[] {
  return crew.map((member) => {
    const isSame = ({ position, personId }: CrewMember) =>
      position === member.position && (personId === undefined || personId === member.personId);
    const known = other.find(isSame)?.name;
    if (known === undefined || known === member.name) return member;
    const isFuller = known.length - member.name.length || (known > member.name ? 1 : -1);
    return isFuller > 0 ? { ...member, name: known } : member;
  });
}

function mergePlain<F extends Exclude<PlainFamily, "book">>(
  means: Means,
  part: PacketPart,
  family: F,
  standing: readonly RecordOf[F][],
  coming: readonly RecordOf[F][],
  rules: Rules<RecordOf[F]> = plain as Rules<RecordOf[F]>,
): void {
  const { draft } = means;
  const byId = new Map<string, RecordOf[F]>(standing.map((record) => [record.id, record]));
  for (const record of coming) {
    const before = byId.get(record.id);
    const write = (after: RecordOf[F]) => {
      if (before === undefined || canonicalText(before) !== canonicalText(after))
        draft.changes.push(put(family, before ?? null, after));
    };
    const taken = mergeContent(means, family, record.id, before && rules.content(before), rules.content(record));
    tally(draft, part, taken.outcome);
    if (before === undefined) write(record);
    else if (taken.isTaken) write(rules.kept(record, before));
    // What does not count as content may still say more, as a name that was left off.
    else if (taken.outcome === "same") write(rules.filled(before, record));
  }
}

/** What becomes of one content that comes, beside the one that stands. */
function mergeContent(
  { here, hash, draft }: Means,
  family: PlainFamily,
  id: string,
  standing: unknown,
  coming: unknown,
): { readonly outcome: Outcome; readonly isTaken: boolean } {
  const content = hash(canonicalText(coming));
  const theirs: PlainContent = { family, id, content };
  if (standing === undefined) {
    if (!here.brought.has(broughtKey(theirs))) draft.brought.push(theirs);
    return { outcome: "new", isTaken: true };
  }
  const ours: PlainContent = { family, id, content: hash(canonicalText(standing)) };
  if (ours.content === content || isSameGame(family, standing, coming)) return { outcome: "same", isTaken: false };
  if (here.brought.has(broughtKey(theirs))) return { outcome: "newerHere", isTaken: false };
  draft.brought.push(theirs);
  const isTaken = here.brought.has(broughtKey(ours)) && content > ours.content;
  draft.alternatives.push(isTaken ? { ...ours, record: standing } : { ...theirs, record: coming });
  return { outcome: "conflicts", isTaken };
}

/** A crew that this library knows by name alone is the same as one that came with ids: it was sent out with them. */
function isSameGame(family: PlainFamily, standing: unknown, coming: unknown): boolean {
  if (family !== "game") return false;
  const ours = standing as Game;
  const theirs = coming as Game;
  if (ours.crew.length !== theirs.crew.length) return false;
  const crew = theirs.crew.map((member, index) => {
    if (ours.crew[index]?.personId !== undefined) return member;
    return { position: member.position };
  });
  return canonicalText(ours) === canonicalText({ ...theirs, crew });
}

function mergeSaid({ here, draft }: Means, packet: Packet): Pick<MergePlan, "versions" | "subjects"> {
  const subjects: SaidSubject[] = [];
  const all = Versions.of(here.versions);
  const theirs = Versions.of(packet.versions);
  const added = packet.versions.filter(({ id }) => !all.has(id));
  const before = new Map(
    [...theirs.bySubject.keys()].map((key) => {
      const heads = all.bySubject.get(key)?.heads ?? [];
      return [key, { heads, standing: all.standing(key) }] as const;
    }),
  );
  for (const version of added) all.add(version);
  const changed = new Set(added.map(Versions.keyOf));

  const rows = {
    grade: new Map<string, Grade>(here.records?.grades.map((one) => [subjectOf("grade", one), one])),
    ruling: new Map<string, Ruling>(here.records?.rulings.map((one) => [subjectOf("ruling", one), one])),
  };
  for (const [key, { heads }] of before) {
    const after = all.standing(key);
    if (after === null) continue;
    const part = after.family === "grade" ? "grades" : "rulings";
    const now = all.bySubject.get(key)?.heads ?? [];
    // What was taken back on both sides is neither new nor of any use to count.
    if (now.some(({ record }) => record !== null))
      tally(draft, part, outcomeOf(heads, now, theirs.bySubject.get(key)?.heads ?? []));
    if (!changed.has(key)) continue;
    const { family, subject } = after;
    subjects.push({ family, subject, isOpen: isConflict(now) });
    draft.changes.push(...changesTo(family, rows[family].get(subject), after));
  }
  const news = added.length;
  tally(draft, "versions", "new", news);
  tally(draft, "versions", "same", packet.versions.length - news);
  return { versions: added, subjects };
}

/** Several heads, unless all of them take it back. */
export function isConflict(heads: readonly SaidVersion[]): boolean {
  return heads.length > 1 && heads.some(({ record }) => record !== null);
}

function outcomeOf(
  before: readonly SaidVersion[],
  now: readonly SaidVersion[],
  theirs: readonly SaidVersion[],
): Outcome {
  if (before.length === 0) return now.length > 1 ? "conflicts" : "new";
  const ids = (versions: readonly SaidVersion[]) => canonicalText(versions.map(({ id }) => id).toSorted());
  if (ids(before) === ids(theirs)) return now.length > 1 ? "conflicts" : "same";
  if (ids(now) === ids(before)) return "newerHere";
  if (now.length > 1) return "conflicts";
  return "newerThere";
}

/** What makes the row of a subject say what its standing version does. */
export function changesTo(
  family: SaidFamily,
  row: Grade | Ruling | undefined,
  { record, act }: Pick<SaidVersion, "record" | "act">,
): Change[] {
  const after = act === "taken back" ? null : record;
  if (row && after && canonicalText(row) === canonicalText(after)) return [];
  if (row && after && row.id === after.id) return [put<SaidFamily>(family, row, after)];
  return [...(row ? [remove<SaidFamily>(family, row)] : []), ...(after ? [put<SaidFamily>(family, null, after)] : [])];
}

function mergeSeals({ here, draft }: Means, seals: readonly Seal[]): void {
  for (const seal of seals) {
    const ours = here.records?.seals.find(({ authorId }) => authorId === seal.authorId);
    if (!ours) draft.changes.push(put("seal", null, seal));
    else if (canonicalText(ours) === canonicalText(seal)) {
      tally(draft, "seals", "same");
      continue;
    } else if (isEarlier(seal, ours)) draft.changes.push(remove("seal", ours), put("seal", null, seal));
    tally(draft, "seals", !ours ? "new" : isEarlier(seal, ours) ? "newerThere" : "newerHere");
  }
}

function isEarlier(a: Seal, b: Seal): boolean {
  return a.sealedAt === b.sealedAt ? a.id < b.id : a.sealedAt < b.sealedAt;
}

function mergeBooks(means: Means, books: readonly BookFile[]): BookFile[] {
  const { here, draft } = means;
  return books.flatMap((book) => {
    // A shipped book is not given up for one that came along under its id.
    if (here.shippedBookIds.has(book.id)) {
      tally(draft, "books", "newerHere");
      return [];
    }
    const file = here.ownBooks.get(book.id);
    const ours = file === undefined ? undefined : { id: book.id, file };
    const { outcome, isTaken } = mergeContent(means, "book", book.id, ours, book);
    tally(draft, "books", outcome);
    return isTaken ? [book] : [];
  });
}

function newScales(
  here: readonly OwnScale[],
  coming: readonly Scale[],
): { readonly ok: true; readonly added: Scale[] } | { readonly ok: false; readonly sentence: string } {
  const added: Scale[] = [];
  for (const scale of coming) {
    const ours = scaleById(scale.id, here);
    if (!ours) added.push(scale);
    // A scale never changes under its grades, so this is none that a library has sent.
    else if (canonicalText(ours) !== canonicalText(scale))
      return {
        ok: false,
        sentence: `Its scale “${scale.name}” is another here under the same id, and its grades would mean something else: ask for a packet graded on a new scale.`,
      };
  }
  return { ok: true, added };
}
