import {
  type CameraContradiction,
  type CameraMemory,
  agreesWithMemory,
  rememberCamera,
} from "../field/camera-memory.ts";
import { straightenStake } from "../field/lens.ts";
import type { Stake as ClickedStake } from "../field/stake.ts";
import { type Survey, surveyFrame, type SurveyRefusal } from "../field/survey.ts";
import { surveyFromMemory } from "../field/survey-from-memory.ts";
import type { FieldLayout } from "../field/template.ts";
import { clicksOf } from "../game/edits.ts";
import type { Film, GameRecords, Stake } from "../game/records.ts";
import { carriedAt } from "./carried-at.ts";

/**
 * What a survey rests on: its own stakes, held to the place of the film's camera where that is known and goes with them;
 * too few stakes and that place; or other frames' surveys.
 */
export type SurveyOrigin =
  | { readonly kind: "stakes"; readonly memory: CameraMemory | null }
  | { readonly kind: "memory"; readonly memory: CameraMemory }
  | { readonly kind: "carried"; readonly fromFrames: readonly number[] };

export type SurveyState =
  | { readonly kind: "none" }
  | { readonly kind: "refused"; readonly refusal: SurveyRefusal }
  | { readonly kind: "solved"; readonly survey: Survey; readonly origin: SurveyOrigin };

/** The surveys of one film, made when they are asked for and kept. */
export type FilmSurveys = {
  readonly film: Film;
  readonly layout: FieldLayout;
  /** The survey of a frame that has stakes, or that one was carried to. */
  readonly at: (frameIndex: number) => SurveyState;
  /** The same with these stakes in place of what is kept for the frame, as while one is being dragged. */
  readonly withStakes: (frameIndex: number, stakes: readonly Stake[]) => SurveyState;
  /** Where the film's surveys put its camera: known, contradictory, or null while there are too few. */
  readonly memory: () => CameraMemory | CameraContradiction | null;
};

/** Warnings of a survey that must not teach the film where its camera stands. */
const doubtful: ReadonlySet<string> = new Set(["wrong-name", "stake-off", "poor-fit", "odd-camera"]);

/** Surveys that a camera's place is learnt from, the nearest in time first: more make it slower and hardly better. */
const mostTeachers = 20;

export function filmSurveys(
  records: Pick<GameRecords, "moments" | "stakes" | "carries">,
  film: Film,
  layout: FieldLayout,
): FilmSurveys {
  const moments = records.moments.filter((moment) => moment.filmId === film.id);
  const frameOf = new Map(moments.map((moment) => [moment.id, moment.frameIndex]));
  const stakesOf = new Map<number, Stake[]>();
  for (const stake of records.stakes) {
    const frame = frameOf.get(stake.momentId);
    if (frame === undefined) continue;
    const list = stakesOf.get(frame);
    if (list) list.push(stake);
    else stakesOf.set(frame, [stake]);
  }
  const free = kept((frame: number) => freeSurvey(layout, stakesOf.get(frame) ?? [], film));
  /** Surveys fit to learn from, but for that of one frame, which is to be held against the others. */
  const teachers = (but: number | null): Survey[] => {
    const frames = [...stakesOf.keys()].filter((frame) => frame !== but);
    if (but !== null) frames.sort((a, b) => Math.abs(a - but) - Math.abs(b - but));
    const sound: Survey[] = [];
    for (const frame of frames) {
      const state = free(frame);
      if (state.kind !== "solved" || state.survey.warnings.some(({ code }) => doubtful.has(code))) continue;
      sound.push(state.survey);
      if (sound.length === mostTeachers) break;
    }
    return sound;
  };
  const memoryBut = kept((but: number | null) => rememberCamera(teachers(but)));
  const known = (but: number | null): CameraMemory | null => {
    const memory = memoryBut(but);
    return memory?.kind === "memory" ? memory : null;
  };
  const carried = kept((frame: number): SurveyState =>
    carriedAt(records.carries, moments, frame, (anchor) => {
      const state = staked(anchor, stakesOf.get(anchor) ?? []);
      return state.kind === "solved" ? state.survey : null;
    }),
  );

  function staked(frame: number, stakes: readonly Stake[]): SurveyState {
    const state = stakes === stakesOf.get(frame) ? free(frame) : freeSurvey(layout, stakes, film);
    const memory = known(frame);
    if (memory === null || state.kind === "none") return state;
    if (state.kind === "solved") {
      const { warning } = agreesWithMemory(state.survey, memory);
      if (warning === null) return heldTo(memory, state.survey, stakes) ?? state;
      return { ...state, survey: { ...state.survey, warnings: [...state.survey.warnings, warning] } };
    }
    // Stakes that contradict each other are no better for a known camera; too few of them are.
    if (!tooLittle.has(state.refusal.code)) return state;
    const result = fromMemory(memory, stakes);
    if (result.ok) {
      const survey = film.lens ? { ...result.survey, lens: film.lens } : result.survey;
      return { kind: "solved", survey, origin: { kind: "memory", memory } };
    }
    return stakes.length < 2 ? state : { kind: "refused", refusal: result.refusal };
  }

  function fromMemory(memory: CameraMemory, stakes: readonly Stake[]) {
    const { lens } = film;
    const straight = clickedStakes(stakes).map((stake) => (lens ? straightenStake(lens, film, stake) : stake));
    return surveyFromMemory(layout, straight, film, memory);
  }

  /**
   * A sound survey, drawn to where a camera at the remembered place sees the stakes: its far parts gain most. What the
   * stakes say of each other stays that of the free fit, which no place can colour.
   */
  function heldTo(memory: CameraMemory, alone: Survey, stakes: readonly Stake[]): SurveyState | null {
    if (alone.warnings.some(({ code }) => doubtful.has(code))) return null;
    const result = fromMemory(memory, stakes);
    if (!result.ok) return null;
    const { homography, inverse, covariance, visible, horizon, camera } = result.survey;
    const survey = { ...alone, homography, inverse, covariance, visible, horizon, camera };
    return { kind: "solved", survey, origin: { kind: "stakes", memory } };
  }

  const stakedKept = kept((frame: number) => staked(frame, stakesOf.get(frame) ?? []));
  return {
    film,
    layout,
    at: (frame) => (stakesOf.has(frame) ? stakedKept(frame) : carried(frame)),
    withStakes: (frame, stakes) => (stakes.length === 0 ? carried(frame) : staked(frame, stakes)),
    memory: () => memoryBut(null),
  };
}

/** Refusals for want of stakes, which a remembered camera can make good. */
const tooLittle: ReadonlySet<string> = new Set(["too-few-stakes", "not-fixed", "on-one-line", "too-close-together"]);

function kept<K, V>(make: (key: K) => V): (key: K) => V {
  const made = new Map<K, V>();
  return (key) => {
    const there = made.get(key);
    if (there !== undefined || made.has(key)) return there as V;
    const value = make(key);
    made.set(key, value);
    return value;
  };
}

function clickedStakes(stakes: readonly Stake[]): ClickedStake[] {
  return stakes.map((stake) =>
    stake.kind === "point" ? stake : { ...stake, clicks: clicksOf(stake).map((click) => click.at) },
  );
}

function freeSurvey(layout: FieldLayout, stakes: readonly Stake[], film: Film): SurveyState {
  if (stakes.length === 0) return { kind: "none" };
  const result = surveyFrame(layout, clickedStakes(stakes), film, film.lens);
  return result.ok
    ? { kind: "solved", survey: result.survey, origin: { kind: "stakes", memory: null } }
    : { kind: "refused", refusal: result.refusal };
}
