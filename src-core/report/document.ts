/**
 * A report as data: what it says, in the order it is read. The window shows it, and it is written out as HTML and PDF;
 * all three say the same, for none of them computes anything.
 */
import type { Shape } from "../picture/shape.ts";

/**
 * A picture of shapes, on paper or over a still of the film. The box is in the shapes' own measure: image pixels over a
 * still, yards on a plan.
 */
export type ReportPicture = {
  readonly surface: "film" | "paper";
  readonly box: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  /** Length that one point of ink is wide, in the box's measure; letters and crosses are sized by it. */
  readonly inkUnit: number;
  readonly shapes: readonly Shape[];
  /** Key of the film still that fills the box (`StillWanted`); null on paper. A still that is missing is left blank. */
  readonly stillKey: string | null;
};

export type Figure = {
  readonly picture: ReportPicture;
  /** What is seen, for whoever cannot see it. */
  readonly alt: string;
  readonly caption: string;
};

/** A name and what it is: a measured number with its interval and unit, a book's edition. */
export type Fact = { readonly name: string; readonly value: string };

export type Column = { readonly name: string; readonly align: "start" | "end" };

export type Block =
  | { readonly kind: "heading"; readonly level: 2 | 3; readonly text: string }
  /** `caution` is set apart, and read before what it is about. */
  | { readonly kind: "text"; readonly text: string; readonly tone: "plain" | "soft" | "caution" }
  | { readonly kind: "facts"; readonly facts: readonly Fact[] }
  /** The first cell of each row names the row. */
  | {
      readonly kind: "table";
      readonly caption: string;
      readonly columns: readonly Column[];
      readonly rows: readonly (readonly string[])[];
    }
  | { readonly kind: "figures"; readonly figures: readonly Figure[] }
  /** One thing that is said, with the pictures and numbers it rests on; kept on one page where it fits on one. */
  | {
      readonly kind: "card";
      readonly heading: string;
      /** The verdict in a word, told by its mark as well as by colour; null where there is none. */
      readonly verdict: "met" | "missed" | "cannot tell" | null;
      readonly sentences: readonly string[];
      readonly figures: readonly Figure[];
      readonly facts: readonly Fact[];
    }
  /** Pictures of one play at instants after another: stepped through on screen, laid out in a row on paper. */
  | {
      readonly kind: "steps";
      readonly name: string;
      readonly steps: readonly { readonly label: string; readonly figure: Figure }[];
    }
  /** A moving picture by the key of its file; a page on paper says where it is instead. */
  | { readonly kind: "animation"; readonly key: string; readonly alt: string; readonly caption: string };

export type ReportDocument = {
  readonly title: string;
  /** What stands under the title: the game and its date, and for whom it is. */
  readonly lines: readonly string[];
  /** Said on every page of paper: whom it is about and that it is private. */
  readonly footer: string;
  readonly blocks: readonly Block[];
};

/** A still that a report needs: the frame of a film at an instant, cut to the box of its picture. */
export type StillWanted = {
  readonly key: string;
  readonly filmId: string;
  readonly timeSec: number;
  readonly box: ReportPicture["box"];
};

/** A still or moving picture as a file's bytes. */
export type ReportAsset = { readonly type: "image/jpeg" | "video/webm"; readonly bytes: Uint8Array };
export type ReportAssets = ReadonlyMap<string, ReportAsset>;
