import { seededRandom } from "../field/random.ts";
import type { Criterion } from "../game/records.ts";
import { pointsOf, scales } from "../grading/scales.ts";
import type { SeasonData, SeasonGame, SeasonRow } from "./season-data.ts";

/**
 * An invented season, so that the place is not empty before the first packets come: the officials, the observers and their
 * severities are made up, and nothing of it lies in the library. The same seed gives the same season.
 */
export const demoSeasonSeed = 20260919;

const firstNames =
  "Ansa Bastian Corvina Dorian Elspet Fenwick Griselda Hobart Ismene Joran Keziah Lothar Marisel Ninian Odalys Peregrin Quilla Rufina Sorley Tansy Ulric Verity Wystan Xanthe Yorick Zillah Aldous Brione Caspar Delphine".split(
    " ",
  );
const lastNames =
  "Amberforth Brackwater Coldwick Dunmarsh Eelbrook Fennimoor Gorsefield Hawkrill Inglenut Jessop-Vale Kettlemere Lorrimoth Marrowby Nettlecombe Oxenthorpe Pellinore Quenby Rookhaven Saltcote Thornwick Umberlade Vellacott Withymoor Yarrowdene Zennorleigh Ashgrave Birchmoth Cressbeck Duskwater Elmsgate".split(
    " ",
  );
const observerNames = [
  "Wendeline Askew",
  "Hartmut Pillgrove",
  "Sidony Crake",
  "Basil Ormthwaite",
  "Leocadia Finch-Marlow",
  "Tobit Harrowgate",
  "Philippa Dunnock",
  "Gervase Mould",
];
const clubs = [
  "Kiln Street Herons",
  "Port Ansel Lanterns",
  "Gannet Row Tilers",
  "Saltmarsh Sextons",
  "Weir Hill Foxgloves",
  "Ropewalk Magpies",
];
const crewPositions = ["R", "LJ", "FJ", "BJ"];
const graded: readonly Criterion[] = ["station", "key", "zone", "look"];
const officialCount = 30;
const gameCount = 40;
const playCount = 6;

/** Saturdays of the invented season, week by week. */
const weeks = [
  "2026-04-04",
  "2026-04-11",
  "2026-04-18",
  "2026-04-25",
  "2026-05-02",
  "2026-05-09",
  "2026-05-16",
  "2026-05-23",
  "2026-05-30",
  "2026-06-06",
];
const dayOf = (week: number) => weeks[week % weeks.length] ?? "2026-04-04";

export function demoSeason(seed: number = demoSeasonSeed): SeasonData {
  const random = seededRandom(seed);
  const scale = scales[0];
  const points = pointsOf(scale);
  const officials = Array.from({ length: officialCount }, (_, index) => ({
    id: `demo-official-${index + 1}`,
    name: `${firstNames[index] ?? "Ansa"} ${lastNames[(index * 7) % lastNames.length] ?? "Amberforth"}`,
    position: crewPositions[index % crewPositions.length] ?? "R",
    skill: random.normal() * 0.45,
  }));
  const observers = observerNames.map((name, index) => ({
    id: `demo-observer-${index + 1}`,
    name,
    severity: random.normal() * 0.5,
  }));
  const worked = new Map<string, number>();
  const games: SeasonGame[] = [];
  const rows: SeasonRow[] = [];
  for (let index = 0; index < gameCount; index++) {
    const id = `demo-season-${index + 1}`;
    const playedOn = dayOf(Math.floor(index / 4));
    // Another home club in each game of a week: no two games of a day have one title.
    const home = index % clubs.length;
    const away = (home + 1 + random.below(clubs.length - 1)) % clubs.length;
    const crew = crewPositions.map((position) => {
      const those = officials.filter((official) => official.position === position);
      // Of those who have worked least so far one of three, so that everybody gets to work.
      const rested = those.toSorted((a, b) => (worked.get(a.id) ?? 0) - (worked.get(b.id) ?? 0));
      const official = rested[random.below(Math.min(3, rested.length))]!;
      worked.set(official.id, (worked.get(official.id) ?? 0) + 1);
      return { position, official };
    });
    games.push({
      id,
      title: `${clubs[home]} v ${clubs[away]}`,
      playedOn,
      level: "Saltmarsh Valley Flag League",
      crew: crew.map(({ position, official }) => ({ position, name: official.name, personId: official.id })),
    });
    const seenBy = new Set([random.below(observers.length)]);
    // Every third game is seen by two.
    if (index % 3 === 0) seenBy.add(random.below(observers.length));
    const gameEffect = random.normal() * 0.2;
    for (const { position, official } of crew)
      for (let play = 1; play <= playCount; play++)
        for (const criterion of graded) {
          const shared = official.skill + gameEffect + random.normal() * 0.35;
          for (const seat of [...seenBy].toSorted((a, b) => a - b)) {
            const observer = observers[seat]!;
            const felt = 3.4 + shared - observer.severity + random.normal() * 0.45;
            const least = points[0] ?? 1;
            const most = points.at(-1) ?? 5;
            const isUnjudged = random.uniform() < 0.04;
            rows.push({
              gameId: id,
              play,
              position,
              criterion,
              scaleId: scale.id,
              points: isUnjudged ? null : Math.min(most, Math.max(least, Math.round(felt))),
              authorId: observer.id,
            });
          }
        }
  }
  return { games, rows, observers: observers.map(({ id, name }) => ({ id, name })), scales: [] };
}
