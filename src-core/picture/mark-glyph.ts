import type { MarkSubject } from "../game/records.ts";
import type { Ink } from "./shape.ts";

/** Chalkboard habit of the trade: O for the offence, X for the defence, letters for officials, a dot for the ball. */
export function glyphOf(subject: MarkSubject): { text: string; ink: Ink } {
  switch (subject.kind) {
    case "official":
      return { text: subject.position, ink: "official" };
    case "player":
      return subject.side === "A" ? { text: "O", ink: "offence" } : { text: "X", ink: "defence" };
    case "ball":
      return { text: "●", ink: "ball" };
  }
}

/** How a list or a screen reader says it. */
export function subjectName(subject: MarkSubject): string {
  switch (subject.kind) {
    case "official":
      return subject.position;
    case "player":
      return `${subject.side} ${subject.role}`;
    case "ball":
      return "ball";
  }
}
