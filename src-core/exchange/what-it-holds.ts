import { rulingClasses } from "../game/records.ts";
import type { Packet } from "./packet.ts";

const many = (count: number, one: string, more = `${one}s`) => `${count} ${count === 1 ? one : more}`;

/** What a packet holds and what it does not, in sentences, to be read before it leaves. */
export function whatItHolds(packet: Packet): string[] {
  const { game, head, grades, rulings } = packet;
  const authors = new Set([...grades, ...rulings].map(({ authorId }) => authorId));
  const played = game.playedOn === null ? "" : ` of ${game.playedOn}`;
  const classes = rulingClasses.map((one) => `${judgedAs(rulings, one)} ${one}`).join(", ");
  const ruled = rulings.length === 0 ? "no rulings" : `${many(rulings.length, "ruling")} (${classes})`;
  return [
    `The game “${game.title}”${played} with ${many(packet.plays.length, "play")} and ${many(packet.moments.length, "moment")}.`,
    `${many(grades.length, "grade")} and ${ruled} by ${many(authors.size, "observer")}, with every version of them (${packet.versions.length}), their reasons and comments as they were written.`,
    packet.seals.length === 0
      ? "The evaluation is not finalised."
      : `The evaluation is finalised by ${many(packet.seals.length, "observer")}.`,
    head.options.measurements
      ? `What was measured: ${many(packet.stakes.length, "stake")}, ${many(packet.marks.length, "mark")}${packet.carries.length > 0 ? `, ${many(packet.carries.length, "carried survey")}` : ""}.`
      : "No stakes and no marks: what was measured stays here.",
    head.madeBy.name === null
      ? "Your name is left off; the id of your library goes along, so that your grades can be told from others'."
      : head.madeBy.name.trim() === ""
        ? "You have given no name of yours; the id of your library goes along."
        : `Your name: ${head.madeBy.name}.`,
    head.options.crewNames
      ? `The names of the crew: ${game.crew.map(({ position, name }) => `${position} ${name.trim() === "" ? "(no name)" : name}`).join(", ")}.`
      : "No names of the crew in their own place: officials go by position, and by an id that is the same in each of your packets.",
    `${many(packet.films.length, "film")} by label, size, length and fingerprint: no film, and not where it lies.`,
    ...(packet.scales.length > 0 ? [`Scales of your own: ${packet.scales.map(({ name }) => name).join(", ")}.`] : []),
    ...(packet.books.length > 0
      ? [`Mechanics books of your own: ${packet.books.map(({ id }) => id).join(", ")}.`]
      : []),
    "No private notes.",
  ];
}

function judgedAs(rulings: Packet["rulings"], judged: string): number {
  return rulings.filter((ruling) => ruling.class === judged).length;
}

/**
 * What else a person should know before it leaves: a name that is left off in its own place but stands in what somebody wrote.
 * `names` are those that the packet was to do without.
 */
export function namesLeftIn(packet: Packet, names: readonly string[]): string[] {
  const texts = [
    packet.game.title,
    ...packet.films.map(({ label }) => label),
    ...packet.books.map(({ file }) => file),
    ...packet.grades.flatMap(({ reason, comment }) => [reason, comment]),
    ...packet.rulings.flatMap(({ foul, comment }) => [foul, comment]),
    ...packet.versions.flatMap(({ said, reason, record }) => [said, reason, record?.comment ?? ""]),
  ].map((text) => text.toLowerCase());
  const wanted = [...new Set(names.map((name) => name.trim()))].filter((name) => name !== "");
  return wanted.flatMap((name) => {
    const found = texts.filter((text) => text.includes(name.toLowerCase())).length;
    return found === 0
      ? []
      : [`“${name}” is left off, but still stands in ${many(found, "text")} that somebody wrote.`];
  });
}
