/** Whether the parts of a packet fit each other. Each part has its shape already. */
import { isOnScale, type Scale, scales as knownScales } from "../grading/scales.ts";
import { canonicalText, type Hash } from "./canonical.ts";
import { type Packet, packetLists } from "./packet.ts";
import {
  headsOf,
  type SaidFamily,
  type SaidVersion,
  scalesUsed,
  subjectOf,
  versionId,
  Versions,
} from "./said-versions.ts";

/** Why a packet contradicts itself, as what and where; null where it does not. */
export function packetFault(packet: Packet, hash: Hash): string | null {
  const all = new Versions();
  return ownerFault(packet) ?? bookFault(packet) ?? versionFault(packet, all, hash) ?? scaleFault(packet, headsOf(all));
}

function bookFault({ books }: Packet): string | null {
  const odd = books.find(({ id, file }) => idInFile(file) !== id);
  return odd ? `books: ${odd.id} is not the book that its file says` : null;
}

function idInFile(file: string): unknown {
  try {
    return (JSON.parse(file) as { id?: unknown } | null)?.id;
  } catch {
    return null;
  }
}

function ownerFault(packet: Packet): string | null {
  const { game, head } = packet;
  if (game.id !== head.gameId) return `the game ${game.id} is not the one that the manifest names`;
  if (game.bookId !== head.bookId) return `the game's book ${game.bookId} is not the one that the manifest names`;
  for (const list of packetLists) {
    const ids = new Set<string>();
    for (const record of packet[list]) {
      if (ids.has(record.id)) return `${list}: ${record.id} is there twice`;
      ids.add(record.id);
      if ("gameId" in record && record.gameId !== game.id) return `${list}: ${record.id} is of another game`;
    }
  }
  const idsOf = (rows: readonly { readonly id: string }[]) => new Set(rows.map(({ id }) => id));
  const films = idsOf(packet.films);
  const plays = idsOf(packet.plays);
  const moments = idsOf(packet.moments);
  const without = (list: string, id: string, owner: string) => `${list}: ${id} is without its ${owner}`;
  for (const { id, filmId } of packet.plays) if (!films.has(filmId)) return without("plays", id, "film");
  for (const { id, filmId, playId } of packet.angles) {
    if (!films.has(filmId)) return without("angles", id, "film");
    if (!plays.has(playId)) return without("angles", id, "play");
  }
  for (const { id, filmId, playId } of packet.moments) {
    if (!films.has(filmId)) return without("moments", id, "film");
    if (!plays.has(playId)) return without("moments", id, "play");
  }
  for (const list of ["stakes", "carries", "marks"] as const)
    for (const { id, momentId } of packet[list]) if (!moments.has(momentId)) return without(list, id, "moment");
  for (const list of ["grades", "rulings"] as const)
    for (const { id, playId } of packet[list])
      if (playId !== null && !plays.has(playId)) return without(list, id, "play");
  const authors = new Set<string>();
  for (const { authorId } of packet.seals) {
    if (authors.has(authorId)) return `seals: ${authorId} has two`;
    authors.add(authorId);
  }
  const kept = (isThere: boolean, list: string) =>
    isThere ? `${list}: the manifest says that they were left out` : null;
  const { measurements, carries, crewNames } = head.options;
  return (
    kept(!measurements && packet.stakes.length > 0, "stakes") ??
    kept(!measurements && packet.marks.length > 0, "marks") ??
    kept(!(measurements && carries) && packet.carries.length > 0, "carries") ??
    kept(!crewNames && game.crew.some(({ name }) => name !== ""), "names of the crew")
  );
}

function scaleFault(packet: Packet, heads: readonly SaidVersion[]): string | null {
  const own = packet.scales.find(({ id }) => knownScales.some((scale) => scale.id === id));
  if (own) return `scales: ${own.id} is a scale that comes with the program`;
  const known = new Map<string, Scale>([...knownScales, ...packet.scales].map((scale) => [scale.id, scale]));
  const used = scalesUsed(heads);
  if (canonicalText(used) !== canonicalText(packet.head.scaleIds))
    return "scales: the manifest names others than the grades";
  const unused = packet.scales.find(({ id }) => !used.includes(id));
  if (unused) return `scales: no grade is of ${unused.id}`;
  const unknown = used.find((id) => !known.has(id));
  if (unknown !== undefined) return `grades: some are of a scale that is not there (${unknown})`;
  for (const { family, record } of heads) {
    if (family !== "grade" || record === null) continue;
    const scale = known.get(record.scaleId);
    if (scale && record.points !== null && !isOnScale(scale, record.points))
      return `grades: ${record.id} is no point of its scale`;
  }
  return null;
}

function versionFault(packet: Packet, all: Versions, hash: Hash): string | null {
  for (const version of packet.versions) {
    const { id, after, record, act, family } = version;
    const at = `versions: ${id.slice(0, 12)}`;
    if (versionId(version, after, hash) !== id) return `${at} says something else than its id stands for`;
    if (new Set(after).size !== after.length) return `${at} follows one version twice`;
    for (const before of after) {
      const earlier = all.get(before);
      if (!earlier) return `${at} comes before a version it follows`;
      if (Versions.keyOf(earlier) !== Versions.keyOf(version)) return `${at} follows a version of something else`;
    }
    if (act === "taken back" && record !== null) return `${at} is taken back and there`;
    if (record !== null) {
      const { id: recordId, gameId } = record;
      if (recordId !== version.recordId || gameId !== version.gameId || subjectOf(family, record) !== version.subject)
        return `${at} holds another record`;
    }
    all.add(version);
  }
  const silent = headsOf(all).find(({ act, record }) => act !== "taken back" && record === null);
  if (silent) return `versions: ${silent.id.slice(0, 12)} stands and does not say what`;
  const standing = { grade: new Map<string, string>(), ruling: new Map<string, string>() };
  for (const key of all.bySubject.keys()) {
    const version = all.standing(key);
    if (!version?.record) continue;
    standing[version.family].set(version.record.id, canonicalText(version.record));
  }
  const fits = (family: SaidFamily, rows: Packet["grades"] | Packet["rulings"]) => {
    const odd = rows.find((row) => standing[family].get(row.id) !== canonicalText(row));
    if (odd) return `${family}s: ${odd.id} is not what its versions say`;
    return standing[family].size === rows.length ? null : `${family}s: some that the versions say are missing`;
  };
  return fits("grade", packet.grades) ?? fits("ruling", packet.rulings);
}
