import type { FieldSide } from "../game/records.ts";
import { type AnchorPlayer, isReceiver, otherSide, outwardSign, type StationScene } from "./anchors.ts";
import { receiversOn } from "./conditions.ts";
import type { KeySubject } from "./watch-rules.ts";

/** The blockers nearest to the snapper that count as near: his two neighbours. */
const nearSnapper = 2;

/**
 * The players that a key is on before the snap. `standing` is the side on which the official stands, for a position that
 * works the middle; receivers of the middle are those of the side with more, of the line judge's side when both have as many.
 */
export function keyPlayers(
  on: KeySubject,
  side: FieldSide | null,
  standing: FieldSide,
  scene: StationScene,
): readonly AnchorPlayer[] {
  const { players, situation } = scene;
  const ofA = players.filter((player) => player.side === "A");
  const role = (...roles: readonly string[]) => ofA.filter((player) => roles.includes(player.role));
  const own = side ?? strongSide(scene);
  const fromOutside = (which: FieldSide) =>
    ofA
      .filter((player) => isReceiver(player) && outwardSign(which) * (player.at.yYards - situation.ballYYards) > 0)
      .toSorted((a, b) => outwardSign(which) * (b.at.yYards - a.at.yYards) || (a.markId < b.markId ? -1 : 1));
  const some = (player: AnchorPlayer | undefined) => (player ? [player] : []);
  const endOfLine = (which: FieldSide) => {
    const line = role("blocker", "snapper").toSorted(
      (a, b) => outwardSign(which) * (b.at.yYards - a.at.yYards) || (a.markId < b.markId ? -1 : 1),
    );
    return some(line[0]);
  };
  switch (on) {
    case "passer":
    case "snapper":
      return role(on);
    case "backs":
      return role("back");
    case "rushers":
      return players.filter((player) => player.role === "rusher");
    case "blockers-near-snapper": {
      const [snapper] = role("snapper");
      const middleY = snapper?.at.yYards ?? situation.ballYYards;
      return role("blocker")
        .toSorted((a, b) => Math.abs(a.at.yYards - middleY) - Math.abs(b.at.yYards - middleY))
        .slice(0, nearSnapper);
    }
    case "receivers-own-side":
      return fromOutside(own);
    case "receivers-other-side":
      return fromOutside(otherSide(own));
    case "widest-own-side":
      return some(fromOutside(own)[0]);
    case "second-own-side":
      return some(fromOutside(own)[1]);
    case "third-own-side":
      return some(fromOutside(own)[2]);
    case "inside-own-side":
      return some(fromOutside(own).at(-1));
    case "nearest-back": {
      const backs = role("back").toSorted((a, b) => outwardSign(own) * (b.at.yYards - a.at.yYards));
      return some(backs[0]);
    }
    case "line-own-side":
      return endOfLine(side ?? standing);
    case "line-other-side":
      return endOfLine(otherSide(side ?? standing));
  }
}

function strongSide(scene: StationScene): FieldSide {
  const [near, far] = [receiversOn("near", scene), receiversOn("far", scene)];
  if (near === far) return scene.lineJudgeSide;
  return near > far ? "near" : "far";
}
