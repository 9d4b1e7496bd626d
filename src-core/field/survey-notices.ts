/** Why a frame cannot be surveyed from its stakes, or what to mind about a survey. Closed lists, worded for a person. */

export type SurveyRefusalCode =
  | "unknown-landmark"
  | "same-landmark-twice"
  | "too-few-stakes"
  | "too-close-together"
  | "on-one-line"
  | "not-fixed"
  | "mirrored-near-far"
  | "mirrored-left-right"
  | "behind-camera"
  | "wrong-name"
  | "not-this-camera";

export type SurveyWarningCode =
  | "no-check"
  | "wrong-name"
  | "stake-off"
  | "poor-fit"
  | "odd-camera"
  | "cross-ratio"
  | "low-camera"
  | "bowed-line"
  | "camera-elsewhere";

/** The landmark that a stake seems to be, where it carries another one's name. */
export type NameSuggestion = { readonly stakeId: string; readonly landmarkId: string; readonly landmarkName: string };

type Notice<Code> = {
  readonly code: Code;
  /** One or two sentences that say what is wrong and what to do. */
  readonly message: string;
  /** The stakes it is about; empty when it is about the frame. */
  readonly stakeIds: readonly string[];
  readonly suggestion?: NameSuggestion;
};

export type SurveyRefusal = Notice<SurveyRefusalCode>;
export type SurveyWarning = Notice<SurveyWarningCode>;

/** "a", "a and b", "a, b and c". */
export function listed(names: readonly string[]): string {
  if (names.length < 2) return names.join("");
  return `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}

/** Two figures, never more than one decimal place of a yard or a pixel. */
export function rounded(value: number): string {
  return value < 9.95 ? value.toFixed(1) : String(Math.round(value));
}
