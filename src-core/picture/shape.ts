/**
 * What is drawn over a frame and on the plan, as plain data: the window paints it and the reports write it out, so that
 * both show the same picture. Points are in the picture's own frame: image pixels over a film frame, yards on a plan.
 */
export type PicturePoint = readonly [x: number, y: number];

/** What a shape means; the painter gives each its colour, dash and weight. */
export const inks = [
  "field-line",
  "field-edge",
  "field-mark",
  "field-digit",
  "no-running",
  "goal",
  "tackle-line",
  "bench-line",
  "grass",
  "stake",
  "stake-off",
  "official",
  "offence",
  "defence",
  "ball",
  "measured",
  "target",
  "target-met",
  "target-missed",
  "target-unsure",
  "scrimmage",
  "line-to-gain",
  "error-half",
  "error-one",
  "error-two",
  "error-over",
  "sight-seen",
  "sight-hidden",
  "sight-straight",
  "step",
  "trail",
  "zone",
  "zone-hatch",
  "key-line",
  "ghost",
  "ghost-next",
  "note",
] as const;
export type Ink = (typeof inks)[number];

export type Shape =
  | { readonly kind: "path"; readonly ink: Ink; readonly points: readonly PicturePoint[]; readonly closed: boolean }
  | { readonly kind: "cross"; readonly ink: Ink; readonly at: PicturePoint }
  | { readonly kind: "ring"; readonly ink: Ink; readonly at: PicturePoint }
  | { readonly kind: "arrow"; readonly ink: Ink; readonly from: PicturePoint; readonly to: PicturePoint }
  | {
      readonly kind: "label";
      readonly ink: Ink;
      readonly at: PicturePoint;
      readonly text: string;
      readonly place: "above" | "below" | "on";
      /** Upside down, as digits lie that are read from the far side. */
      readonly turned?: boolean;
    };
