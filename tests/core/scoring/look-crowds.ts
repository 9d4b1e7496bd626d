import { surveyFrame } from "#core/field/survey";
import { seededRandom } from "#core/field/random";
import { fieldPoint } from "#core/field/units";
import type { Mark, MarkSubject, PlayerRole, Situation } from "#core/game/records";
import { judgeLooks } from "#core/scoring/look";
import { lookFindings } from "#core/scoring/look-findings";
import { placeMarks } from "#core/scoring/judge-moment";
import { inFrame, ncaa, pressBox, see } from "../field/cameras.ts";
import { lookRule } from "./look-rule.ts";

/** Crews by their size, with where they stand from the ball: yards downfield, and across toward the far side. */
const crew: readonly (readonly [position: string, downfield: number, across: number])[] = [
  ["R", -12, -6],
  ["LJ", 0, 24],
  ["FJ", 12, -25],
  ["BJ", 20, 4],
  ["U", 6, 2],
  ["DJ", 0, -25],
  ["SJ", 18, 24],
];

const snapOrder: readonly PlayerRole[] = ["snapper", "passer", "receiver", "receiver", "back", "receiver"];

/** Two seconds after a snap: linemen against each other, receivers with a defender 0.7 to 2 yd off, all within the frame. */
export function crowdedMoments(officials: number, perSide: number, count: number): (() => unknown)[] {
  const survey = surveyFrame(
    ncaa,
    ncaa.landmarks
      .filter((landmark) => inFrame(pressBox, landmark.at))
      .map((landmark) => ({
        id: landmark.id,
        kind: "point",
        landmarkId: landmark.id,
        click: see(pressBox, landmark.at),
        sigmaPx: 1.5,
      })),
    pressBox.image,
    null,
  );
  if (!survey.ok) throw new Error(survey.refusal.code);
  const random = seededRandom(72);
  const between = (from: number, to: number) => from + (to - from) * random.uniform();
  const situation: Situation = {
    offence: "home",
    direction: "right",
    down: 3,
    scrimmageXYards: 55,
    lineToGainXYards: 61,
    ballYYards: 26,
  };
  const positions = crew.slice(0, officials).map(([position]) => position);
  return Array.from({ length: count }, () => {
    const marks: Mark[] = [];
    const put = (subject: MarkSubject, x: number, y: number, faces: readonly [number, number] | null) =>
      marks.push({
        id: `m${String(marks.length).padStart(2, "0")}`,
        gameId: "g",
        momentId: "m",
        subject,
        click: see(pressBox, fieldPoint(x, y)),
        sigmaPx: 2,
        facing: faces ? see(pressBox, fieldPoint(x + faces[0], y + faces[1])) : null,
      });
    for (const [position, downfield, across] of crew.slice(0, officials)) {
      put({ kind: "official", position }, 55 + downfield, 26 + across, [
        5 * Math.sign(4 - downfield || 1),
        5 * Math.sign(-across),
      ]);
    }
    for (let i = 0; i < perSide; i++) {
      const role: PlayerRole = perSide > 8 && i >= 6 ? "blocker" : (snapOrder[i] ?? "receiver");
      const line = role === "blocker" || role === "snapper";
      const x = line ? between(54, 55) : role === "passer" ? 48 : role === "back" ? between(47, 53) : between(56, 70);
      const y = line ? 22 + 1.6 * (i - 5 + 5 * Number(i === 0)) : role === "passer" ? 26 : between(4, 48);
      put({ kind: "player", side: "A", role }, x, y, null);
      const angle = between(0, 2 * Math.PI);
      const apart = between(0.7, 2);
      put(
        { kind: "player", side: "B", role: line || role === "passer" ? "rusher" : "defender" },
        x + apart * Math.cos(angle),
        y + apart * Math.sin(angle),
        null,
      );
    }
    const { placed } = placeMarks(survey.survey, marks);
    if (placed.length !== officials + 2 * perSide) throw new Error(`only ${placed.length} marks are on the ground`);
    const scene = { layout: ncaa, situation };
    const grading = { metFrom: 0.8, missedTo: 0.2 };
    return () => {
      const looks = judgeLooks({ rule: lookRule, positions, placed, scene });
      return { looks, findings: lookFindings({ looks, phase: "zone", scene, grading }) };
    };
  });
}
