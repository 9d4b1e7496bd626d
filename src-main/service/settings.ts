import { type Settings, settingsShape } from "#core/contract/settings";
import { Failure } from "#core/contract/errors";
import type { Scale } from "#core/grading/scales";
import { firstFouls } from "#core/grading/rulings";
import { noRules } from "#core/season/eligibility";
import type { Library } from "../store/library.ts";

type SettingsPart = { readonly [K in keyof Settings]?: Settings[K] | undefined };

const note = "settings";
const first: Settings = {
  observerName: "",
  ownPosition: null,
  fouls: firstFouls,
  scales: [],
  season: {
    officials: [],
    observers: [],
    games: [],
    minimum: { grades: 20, games: 3, observers: 2 },
    topK: 4,
    rules: noRules,
    conflicts: [],
    watchedFolder: "",
    demoPutAway: false,
  },
};

/** What a person has set up in a library, kept as one note of it. */
export function createSettings(library: Pick<Library, "note" | "setNote">) {
  const get = (): Settings => {
    const text = library.note(note);
    if (text === null) return first;
    // What a later program can set up is as it is first in a library that knows nothing of it.
    const kept = JSON.parse(text) as { readonly season?: object };
    const read = settingsShape.safeParse({ ...first, ...kept, season: { ...first.season, ...kept.season } });
    if (read.success) return read.data;
    throw new Failure(
      "LIBRARY_FAILED",
      `What was set up in this library cannot be read (${read.error.issues[0]?.path.join(".") ?? ""}). Nothing was changed.`,
    );
  };
  return {
    get,
    /** The note of the settings with more scales, retired: their grades count, and no game is begun with them. Throws INVALID. */
    withScales: (scales: readonly Scale[]): { readonly name: string; readonly value: string } => {
      const before = get();
      const added = scales.map((scale) => ({ scale, retired: true }));
      const next = settingsShape.safeParse({ ...before, scales: [...before.scales, ...added] });
      if (next.success) return { name: note, value: JSON.stringify(next.data) };
      throw new Failure(
        "INVALID",
        "This library has as many scales as it can keep, and the packet brings more. Nothing was imported: take away scales that no game uses.",
      );
    },
    set: (part: SettingsPart): Settings => {
      const given = Object.fromEntries(Object.entries(part).filter(([, value]) => value !== undefined));
      const next = settingsShape.parse({ ...get(), ...given });
      library.setNote(note, JSON.stringify(next));
      return next;
    },
  };
}
