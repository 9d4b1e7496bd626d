import { describe, expect, it } from "vitest";
import { imagePoint } from "#core/field/units";
import { findingOf, inPlace, marksOf } from "./staged-play.ts";

describe("a mark that has no place on the ground", () => {
  it("is told apart from one that is missing, and says what is wrong with the click", () => {
    const sky = marksOf(inPlace).map((mark) =>
      mark.subject.kind === "official" && mark.subject.position === "FJ"
        ? { ...mark, click: imagePoint(900, 5) }
        : mark,
    );
    const lost = findingOf(inPlace, "ST-FJ-PRE", { marks: sky });
    expect(lost).toMatchObject({ verdict: "cannot tell", sentence: "FJ is marked, but not at a place on the ground." });
    expect(lost.help).toMatch(/above the horizon/u);
    expect(findingOf(inPlace, "ST-FJ-FACE", { marks: sky }).help).toMatch(/above the horizon/u);
    const none = marksOf(inPlace).filter(
      (mark) => !(mark.subject.kind === "official" && mark.subject.position === "FJ"),
    );
    expect(findingOf(inPlace, "ST-FJ-PRE", { marks: none }).sentence).toBe("FJ is not marked.");
  });

  it("a facing clicked above the horizon is not called unmarked", () => {
    const marks = marksOf(inPlace).map((mark) =>
      mark.subject.kind === "official" && mark.subject.position === "R"
        ? { ...mark, facing: imagePoint(900, 5) }
        : mark,
    );
    expect(findingOf(inPlace, "ST-R-FACE", { marks }).sentence).toBe(
      "The facing of R is not at a place on the ground.",
    );
  });
});
