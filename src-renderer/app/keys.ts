/**
 * The keys of the window, once: the help sheet lists them and the field book listens to them. `id` names the action;
 * `codes` are matched against "modifiers+key" as `keyOf` spells them.
 */
export type KeyRow = {
  readonly id: string;
  readonly group: "Film" | "Breakdown" | "Pages" | "Survey and marks" | "Mechanics" | "Everywhere";
  /** The one place where it counts; left out, it counts in every place that has such an action. */
  readonly place?: "fieldbook" | "breakdown";
  readonly codes: readonly string[];
  readonly shown: readonly string[];
  readonly does: string;
};

export const keyRows: readonly KeyRow[] = [
  { id: "play", group: "Film", codes: ["Space"], shown: ["Space"], does: "Play, or stop on the frame" },
  { id: "frame-back", group: "Film", codes: ["q"], shown: ["Q"], does: "One frame back (hold to run)" },
  { id: "frame-on", group: "Film", codes: ["w"], shown: ["W"], does: "One frame on (hold to run)" },
  { id: "ten-back", group: "Film", codes: ["Shift+q"], shown: ["Shift", "Q"], does: "Ten frames back" },
  { id: "ten-on", group: "Film", codes: ["Shift+w"], shown: ["Shift", "W"], does: "Ten frames on" },
  { id: "second-back", group: "Film", codes: [","], shown: [","], does: "One second back" },
  { id: "second-on", group: "Film", codes: ["."], shown: ["."], does: "One second on" },
  { id: "slower", group: "Film", codes: ["["], shown: ["["], does: "Slower" },
  { id: "faster", group: "Film", codes: ["]"], shown: ["]"], does: "Faster" },
  { id: "loop", group: "Film", codes: ["g"], shown: ["G"], place: "fieldbook", does: "Run this play over and over" },
  { id: "play-before", group: "Film", codes: ["PageUp"], shown: ["PgUp"], does: "The play before" },
  { id: "play-after", group: "Film", codes: ["PageDown"], shown: ["PgDn"], does: "The play after" },
  { id: "zoom-in", group: "Film", codes: ["+", "="], shown: ["+"], does: "Closer, at the pointer (also the wheel)" },
  { id: "zoom-out", group: "Film", codes: ["-"], shown: ["−"], does: "Further away" },
  { id: "pan", group: "Film", codes: [], shown: ["Arrows"], does: "Move the enlarged picture, with no mark chosen" },
  { id: "zoom-fit", group: "Film", codes: ["0"], shown: ["0"], does: "The whole frame" },
  {
    id: "whole-screen",
    group: "Film",
    place: "fieldbook",
    codes: ["9"],
    shown: ["9"],
    does: "The film on the whole screen, and back",
  },
  {
    id: "shuttle",
    group: "Film",
    codes: [],
    shown: ["←", "→"],
    does: "On the shuttle: slower, faster, backward; Esc stops",
  },
  {
    id: "divide",
    group: "Everywhere",
    codes: [],
    shown: ["Arrows"],
    does: "On a dividing line: make the part larger or smaller",
  },
  {
    id: "time-start",
    group: "Breakdown",
    place: "breakdown",
    codes: ["b"],
    shown: ["B"],
    does: "The play begins here",
  },
  {
    id: "time-snap",
    group: "Breakdown",
    place: "breakdown",
    codes: ["n"],
    shown: ["N"],
    does: "The snap is here (makes a play where there is none)",
  },
  {
    id: "time-release",
    group: "Breakdown",
    place: "breakdown",
    codes: ["r"],
    shown: ["R"],
    does: "The ball leaves the hand here",
  },
  { id: "time-catch", group: "Breakdown", place: "breakdown", codes: ["c"], shown: ["C"], does: "The catch is here" },
  {
    id: "time-dead",
    group: "Breakdown",
    place: "breakdown",
    codes: ["d"],
    shown: ["D"],
    does: "The ball is dead here",
  },
  { id: "time-end", group: "Breakdown", place: "breakdown", codes: ["e"], shown: ["E"], does: "The play ends here" },
  { id: "down-1", group: "Breakdown", place: "breakdown", codes: ["1"], shown: ["1"], does: "First down" },
  { id: "down-2", group: "Breakdown", place: "breakdown", codes: ["2"], shown: ["2"], does: "Second down" },
  { id: "down-3", group: "Breakdown", place: "breakdown", codes: ["3"], shown: ["3"], does: "Third down" },
  { id: "down-4", group: "Breakdown", place: "breakdown", codes: ["4"], shown: ["4"], does: "Fourth down" },
  {
    id: "distance",
    group: "Breakdown",
    place: "breakdown",
    codes: ["f"],
    shown: ["F"],
    does: "Type the distance; Enter goes back to the film",
  },
  {
    id: "gain",
    group: "Breakdown",
    place: "breakdown",
    codes: ["g"],
    shown: ["G"],
    does: "Type the yards gained; Enter goes back to the film",
  },
  {
    id: "incomplete",
    group: "Breakdown",
    place: "breakdown",
    codes: ["i"],
    shown: ["I"],
    does: "The pass was incomplete",
  },
  { id: "score", group: "Breakdown", place: "breakdown", codes: ["o"], shown: ["O"], does: "The play scored" },
  {
    id: "take-proposal",
    group: "Breakdown",
    place: "breakdown",
    codes: ["p"],
    shown: ["P"],
    does: "Take the situation that follows from the play before",
  },
  {
    id: "sheet-walk",
    group: "Breakdown",
    place: "breakdown",
    codes: [],
    shown: ["↑", "↓"],
    does: "The play before, the play after, in the play sheet",
  },
  {
    id: "sheet-go",
    group: "Breakdown",
    place: "breakdown",
    codes: [],
    shown: ["Enter"],
    does: "Go to the chosen play in the film",
  },
  {
    id: "open-fieldbook",
    group: "Breakdown",
    place: "breakdown",
    codes: ["m"],
    shown: ["M"],
    does: "Open the play in the field book, at its snap",
  },
  {
    id: "next-angle",
    group: "Film",
    codes: ["/"],
    shown: ["/"],
    does: "The same instant from another angle",
  },
  {
    id: "moment-before",
    group: "Film",
    place: "fieldbook",
    codes: ["Shift+PageUp"],
    shown: ["Shift", "PgUp"],
    does: "The moment of this play before, judged or proposed",
  },
  {
    id: "moment-after",
    group: "Film",
    place: "fieldbook",
    codes: ["Shift+PageDown"],
    shown: ["Shift", "PgDn"],
    does: "The next moment of this play, judged or proposed",
  },
  {
    id: "page-play",
    group: "Pages",
    place: "fieldbook",
    codes: ["1"],
    shown: ["1"],
    does: "Play: situation and moments",
  },
  {
    id: "page-survey",
    group: "Pages",
    place: "fieldbook",
    codes: ["2"],
    shown: ["2"],
    does: "Survey: stakes on points and lines",
  },
  {
    id: "page-marks",
    group: "Pages",
    place: "fieldbook",
    codes: ["3"],
    shown: ["3"],
    does: "Marks: officials, players, ball",
  },
  { id: "page-findings", group: "Pages", place: "fieldbook", codes: ["4"], shown: ["4"], does: "Findings" },
  {
    id: "aim",
    group: "Survey and marks",
    codes: ["Enter"],
    shown: ["Enter"],
    does: "Aim with the arrows; Enter again sets the point",
  },
  {
    id: "nudge",
    group: "Survey and marks",
    codes: [],
    shown: ["Arrows"],
    does: "Move the aim or the chosen mark by 1 px",
  },
  { id: "nudge-far", group: "Survey and marks", codes: [], shown: ["Shift", "Arrows"], does: "… by 10 px" },
  { id: "nudge-fine", group: "Survey and marks", codes: [], shown: ["Alt", "Arrows"], does: "… by a tenth of a pixel" },
  {
    id: "place-close",
    group: "Survey and marks",
    codes: [],
    shown: ["Shift", "Click"],
    does: "Place a point even where another stands close by",
  },
  {
    id: "as-clicked",
    group: "Survey and marks",
    codes: [],
    shown: ["Alt", "Click"],
    does: "Stake where you click, without settling on the paint",
  },
  {
    id: "delete",
    group: "Survey and marks",
    codes: ["Delete", "Backspace"],
    shown: ["Del"],
    does: "Take the chosen mark or stake away",
  },
  {
    id: "facing",
    group: "Survey and marks",
    codes: ["v"],
    shown: ["V"],
    does: "Give the chosen mark a facing at the pointer",
  },
  {
    id: "ghost-take",
    group: "Survey and marks",
    place: "fieldbook",
    codes: ["t"],
    shown: ["T"],
    does: "Marks: the one whose turn it is stands there still",
  },
  {
    id: "ghost-all",
    group: "Survey and marks",
    place: "fieldbook",
    codes: ["Shift+t"],
    shown: ["Shift", "T"],
    does: "Marks: everybody brought over stands there still",
  },
  {
    id: "ghost-skip",
    group: "Survey and marks",
    place: "fieldbook",
    codes: ["x"],
    shown: ["X"],
    does: "Marks: leave out the one whose turn it is",
  },
  {
    id: "ghost-follow",
    group: "Survey and marks",
    place: "fieldbook",
    codes: ["Shift+f"],
    shown: ["Shift", "F"],
    does: "Marks: follow everybody brought over through the film to this frame",
  },
  {
    id: "letters",
    group: "Survey and marks",
    codes: [],
    shown: ["Letter"],
    does: "Marks: the official of that letter at the pointer, or the role chosen; Z turns the side over",
  },
  { id: "let-go", group: "Survey and marks", codes: ["Escape"], shown: ["Esc"], does: "Let go of what is chosen" },
  {
    id: "rule-walk",
    group: "Mechanics",
    codes: [],
    shown: ["↑", "↓"],
    does: "The rule before, the rule after, in the list of rules",
  },
  {
    id: "player-walk",
    group: "Mechanics",
    codes: [],
    shown: ["Arrows"],
    does: "Move the chosen player a yard; with Shift a quarter",
  },
  { id: "undo", group: "Everywhere", codes: ["Ctrl+z"], shown: ["Ctrl", "Z"], does: "Take the last edit back" },
  { id: "redo", group: "Everywhere", codes: ["Ctrl+y", "Ctrl+Shift+z"], shown: ["Ctrl", "Y"], does: "Make it again" },
];

/** "Ctrl+Shift+key"; Command counts as Ctrl. Letters are lower case, the space bar is "Space". */
export function keyOf(event: Pick<KeyboardEvent, "key" | "ctrlKey" | "metaKey" | "shiftKey" | "altKey">): string {
  const letter = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  const key = letter === " " ? "Space" : letter;
  const shifted = event.shiftKey && (/^[a-z]$/u.test(key) || key.length > 1) ? "Shift+" : "";
  return `${event.ctrlKey || event.metaKey ? "Ctrl+" : ""}${event.altKey ? "Alt+" : ""}${shifted}${key}`;
}

export function actionOf(event: Parameters<typeof keyOf>[0], place: KeyRow["place"]): string | null {
  const code = keyOf(event);
  return (
    keyRows.find((row) => (row.place === undefined || row.place === place) && row.codes.includes(code))?.id ?? null
  );
}
