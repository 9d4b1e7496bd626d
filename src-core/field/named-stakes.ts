import type { Sighting } from "./observations.ts";
import type { LineStake, PointStake, Stake } from "./stake.ts";
import type { SurveyRefusal } from "./survey-notices.ts";
import type { FieldLayout, FieldLine, Landmark } from "./template.ts";

/** Stakes with their landmarks and lines looked up. `sightings[i]`, `names[i]` and `stakes[i]` are the same stake. */
export type NamedStakes = {
  readonly layout: FieldLayout;
  readonly stakes: readonly Stake[];
  readonly sightings: readonly Sighting[];
  readonly names: readonly string[];
};

type Index = { readonly landmarks: ReadonlyMap<string, Landmark>; readonly lines: ReadonlyMap<string, FieldLine> };

const indexes = new WeakMap<FieldLayout, Index>();

function indexOf(layout: FieldLayout): Index {
  let index = indexes.get(layout);
  if (index === undefined) {
    index = {
      landmarks: new Map(layout.landmarks.map((landmark) => [landmark.id, landmark])),
      lines: new Map(layout.lines.map((line) => [line.id, line])),
    };
    indexes.set(layout, index);
  }
  return index;
}

export function pointSighting(stake: PointStake, landmark: Landmark): Sighting {
  return { kind: "point", at: landmark.at, click: stake.click, sigmaPx: stake.sigmaPx };
}

export function lineSighting(stake: LineStake, line: FieldLine): Sighting {
  return { kind: "line", from: line.from, to: line.to, clicks: stake.clicks, sigmaPx: stake.sigmaPx };
}

/** Stakes and clicks come validated through a door; a number that is none is a bug of ours. */
function assertFinite(stake: Stake): void {
  const clicks = stake.kind === "point" ? [stake.click] : stake.clicks;
  for (const click of clicks) {
    if (!Number.isFinite(click.uPx) || !Number.isFinite(click.vPx))
      throw new Error(`stake ${stake.id}: click is no number`);
  }
  if (!(stake.sigmaPx > 0) || !Number.isFinite(stake.sigmaPx))
    throw new Error(`stake ${stake.id}: sigma must be positive`);
}

export function nameStakes(
  layout: FieldLayout,
  stakes: readonly Stake[],
): { readonly ok: true; readonly named: NamedStakes } | { readonly ok: false; readonly refusal: SurveyRefusal } {
  const index = indexOf(layout);
  const sightings: Sighting[] = [];
  const names: string[] = [];
  const seen = new Map<string, Stake>();
  for (const stake of stakes) {
    assertFinite(stake);
    const wanted = stake.kind === "point" ? stake.landmarkId : stake.lineId;
    const found = stake.kind === "point" ? index.landmarks.get(wanted) : index.lines.get(wanted);
    if (found === undefined) {
      const message =
        `This field (${layout.template.name}) has no ${stake.kind === "point" ? "landmark" : "line"} "${wanted}". ` +
        "Choose another name for this stake, or another field.";
      return { ok: false, refusal: { code: "unknown-landmark", message, stakeIds: [stake.id] } };
    }
    const key = `${stake.kind} ${wanted}`;
    const earlier = seen.get(key);
    if (earlier !== undefined) {
      const message =
        stake.kind === "point"
          ? `Two stakes carry the name "${found.name}". Rename one of them or take it away.`
          : `Two line stakes lie on the ${found.name}. Put all clicks of one line into one stake.`;
      return { ok: false, refusal: { code: "same-landmark-twice", message, stakeIds: [earlier.id, stake.id] } };
    }
    seen.set(key, stake);
    names.push(found.name);
    sightings.push(
      stake.kind === "point" ? pointSighting(stake, found as Landmark) : lineSighting(stake, found as FieldLine),
    );
  }
  return { ok: true, named: { layout, stakes, sightings, names } };
}
