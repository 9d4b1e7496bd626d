/**
 * The records a library keeps. Each is one row of one table; a game owns all the others.
 *
 * Ids are opaque strings that survive export. Times in seconds of the film's own clock, image points in pixels of the
 * film's displayed size, field points in yards of the field frame (field/units.ts).
 */
import type { FieldChoices } from "../field/field-choices.ts";
import type { FieldDirection } from "../field/frames.ts";
import type { ImagePoint } from "../field/units.ts";

export type TeamKey = "home" | "away";

/** A position of the crew, by its letters: R, LJ, FJ, BJ and so on. The book says which there are. */
export type CrewPosition = string;

/**
 * An official of a game. `personId` says who it is across games where that came along with the game, as when the name was left
 * off; where it is absent they are known by their name.
 */
export type CrewMember = { readonly position: CrewPosition; readonly name: string; readonly personId?: string };

export type FieldSide = "near" | "far";

export type Game = {
  readonly id: string;
  readonly title: string;
  /** Date of play, YYYY-MM-DD, or null when not known. */
  readonly playedOn: string | null;
  readonly level: string;
  readonly homeName: string;
  readonly awayName: string;
  readonly playersPerSide: number;
  readonly templateId: string;
  readonly fieldChoices: FieldChoices;
  readonly bookId: string;
  /** The sideline that the book's line judge works; near is the press-box side. */
  readonly lineJudgeSide: FieldSide;
  readonly crew: readonly CrewMember[];
};

/** A film kept by reference: the file stays where it is and is known again by its fingerprint. */
export type Film = {
  readonly id: string;
  readonly gameId: string;
  /** Its place among the films of the game, from 1; films of one place stand as they were attached. */
  readonly order: number;
  readonly label: string;
  /** Empty for a film that came along without its file, until somebody says where it is. */
  readonly path: string;
  readonly sizeBytes: number;
  readonly fingerprint: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly durationSec: number;
  readonly codec: string;
  /** What the lens bends, as measured on this film; null while it counts as straight. */
  readonly lens: FilmLens | null;
};

/** One radial term, and how straight known lines were by it: root mean squares in pixels, over so many lines. */
export type FilmLens = {
  readonly radial: number;
  readonly beforePx: number;
  readonly afterPx: number;
  readonly lines: number;
};

export type Down = 1 | 2 | 3 | 4;

/** What a crew knows before the snap. Lengths in yards of the field frame. */
export type Situation = {
  readonly offence: TeamKey;
  readonly direction: FieldDirection;
  readonly down: Down | null;
  readonly scrimmageXYards: number;
  readonly lineToGainXYards: number | null;
  readonly ballYYards: number;
};

export const playKinds = ["pass", "run", "punt", "free-kick", "field-goal", "try"] as const;
export type PlayKind = (typeof playKinds)[number];

/**
 * How a play ended: dead at a spot with the ball kept, incomplete, a score, the ball lost at a spot, or not counted and
 * played again.
 */
export const playEnds = ["spot", "incomplete", "score", "turnover", "no-play"] as const;
export type PlayEnd = (typeof playEnds)[number];

export type PlayResult = {
  readonly kind: PlayEnd;
  /** Where the ball was dead, in field yards; null where nobody has said. */
  readonly spot: { readonly xYards: number; readonly yYards: number } | null;
};

export type Play = {
  readonly id: string;
  readonly gameId: string;
  readonly filmId: string;
  readonly number: number;
  readonly startSec: number;
  readonly endSec: number;
  readonly snapSec: number | null;
  /** When the ball left the passer's hand, when it was caught, and when it was dead. */
  readonly releaseSec: number | null;
  readonly catchSec: number | null;
  readonly deadSec: number | null;
  readonly kind: PlayKind | null;
  /** From 1; what comes after the fourth is overtime. */
  readonly quarter: number | null;
  /** Number of the possession in the game, from 1. */
  readonly series: number | null;
  readonly situation: Situation;
  readonly result: PlayResult | null;
};

/** A play of which only its place in the film and its situation are known. */
export const nothingSaid = {
  snapSec: null,
  releaseSec: null,
  catchSec: null,
  deadSec: null,
  kind: null,
  quarter: null,
  series: null,
  result: null,
} as const satisfies Partial<Play>;

/**
 * The same play on another film of the game, tied by one instant that both show. Times on the angle's film run beside
 * those of the play's own: both cameras keep time alike.
 */
export type Angle = {
  readonly id: string;
  readonly gameId: string;
  readonly playId: string;
  readonly filmId: string;
  /** The common instant, on the play's own film and on this one. */
  readonly playInstantSec: number;
  readonly instantSec: number;
};

export const phases = ["pre-snap", "keys", "zone", "ball-away", "catch", "dead-ball"] as const;
export type Phase = (typeof phases)[number];

/** One judged instant of a play: a frame of its film, or of another angle's. */
export type Moment = {
  readonly id: string;
  readonly gameId: string;
  readonly playId: string;
  readonly filmId: string;
  readonly phase: Phase;
  readonly frameIndex: number;
  readonly timeSec: number;
};

/** A known point of the field clicked in the frame of a moment. */
export type PointStake = {
  readonly id: string;
  readonly gameId: string;
  readonly momentId: string;
  readonly kind: "point";
  readonly landmarkId: string;
  readonly click: ImagePoint;
  /** Where it was clicked, when `click` was then settled on the paint; null when it was left as it was clicked. */
  readonly raw: ImagePoint | null;
  readonly sigmaPx: number;
};

/** One click of a line stake: where it counts, and where it was clicked when it was settled on the paint. */
export type LineClick = { readonly at: ImagePoint; readonly raw: ImagePoint | null };

/** A known line of the field, clicked anywhere along it. */
export type LineStake = {
  readonly id: string;
  readonly gameId: string;
  readonly momentId: string;
  readonly kind: "line";
  readonly lineId: string;
  readonly clicks: readonly LineClick[];
  readonly sigmaPx: number;
};

export type Stake = PointStake | LineStake;

/**
 * A survey carried from the frame of a moment to the frames around it: where four points of that frame's picture lie in
 * each of them, with the error. It says how the picture moved and nothing about the field, so that it outlives a change
 * of the stakes.
 */
export type Carry = {
  readonly id: string;
  readonly gameId: string;
  /** The moment it was carried from. */
  readonly momentId: string;
  /** Frame index of the first frame in `frames`, which are contiguous and contain the moment's own. */
  readonly firstIndex: number;
  readonly frameCount: number;
  /** As carry/pack.ts writes them. */
  readonly frames: string;
  /** Why it goes no further back, or on; null where the play ends. */
  readonly stopBefore: string | null;
  readonly stopAfter: string | null;
};

export const playerRoles = ["snapper", "passer", "back", "receiver", "blocker", "defender", "rusher"] as const;
export type PlayerRole = (typeof playerRoles)[number];

/** A is the offence (or the kicking team), B the defence (or the receiving team), as in the rule books. */
export type Side = "A" | "B";

export type MarkSubject =
  | { readonly kind: "official"; readonly position: CrewPosition }
  | { readonly kind: "player"; readonly side: Side; readonly role: PlayerRole }
  | { readonly kind: "ball" };

/** A person or the ball placed in the frame of a moment: the click is between the feet. */
export type Mark = {
  readonly id: string;
  readonly gameId: string;
  readonly momentId: string;
  readonly subject: MarkSubject;
  readonly click: ImagePoint;
  readonly sigmaPx: number;
  /** A point on the ground in the direction faced, in the image; null when not marked. */
  readonly facing: ImagePoint | null;
};

/** What officials are judged in. The books weigh them; findings and grades are each of one. */
export const criteria = ["station", "facing", "key", "zone", "handoff", "look", "count"] as const;
export type Criterion = (typeof criteria)[number];

/**
 * What a person thinks of an official in one criterion of a play or of the whole game: points of a scale, or that the film
 * does not let it be judged. One to a play, position, criterion and author.
 */
export type Grade = {
  readonly id: string;
  readonly gameId: string;
  /** Null: the whole game. */
  readonly playId: string | null;
  readonly position: CrewPosition;
  readonly criterion: Criterion;
  readonly scaleId: string;
  /** Null: it cannot be judged from film. */
  readonly points: number | null;
  /** What was suggested from the findings then, in the same points; null where it was withheld. */
  readonly suggested: number | null;
  /** Why it differs from what was suggested, or lies at an end of the scale. */
  readonly reason: string;
  readonly comment: string;
  /** Moments that the author took as evidence by hand, beside those that the findings rest on. */
  readonly momentIds: readonly string[];
  /** The observer's id; every library has one of its own. */
  readonly authorId: string;
  /** When it was last said: ISO 8601, in UTC. */
  readonly gradedAt: string;
};

export const rulingKinds = ["flag", "no-call"] as const;
export const rulingClasses = ["correct", "incorrect", "marginal", "cannot judge"] as const;

/**
 * A flag, or a foul that was not called, and what a person makes of it. Rulings are judged apart from mechanics, and none
 * of them follows from what was measured.
 */
export type Ruling = {
  readonly id: string;
  readonly gameId: string;
  readonly playId: string;
  readonly kind: (typeof rulingKinds)[number];
  readonly class: (typeof rulingClasses)[number];
  /** In the words of the author's own list. */
  readonly foul: string;
  /** Who called it, or whose it was to call; null where that is not known. */
  readonly position: CrewPosition | null;
  /** Who should have seen it, as the author took it. */
  readonly seers: readonly CrewPosition[];
  /** The moment it is seen at; null without. */
  readonly momentId: string | null;
  /** The spot that the crew gave, in field yards; null where none was given, or it is not in question. */
  readonly spotGivenXYards: number | null;
  readonly comment: string;
  readonly authorId: string;
  readonly ruledAt: string;
};

/** What an author keeps to themselves of a play, or of the game, and of an official or nobody: no report or packet holds it. */
export type PrivateNote = {
  readonly id: string;
  readonly gameId: string;
  readonly playId: string | null;
  readonly position: CrewPosition | null;
  readonly text: string;
  readonly authorId: string;
  readonly writtenAt: string;
};

/** That an author has finished with a game: from then on it stays as it is, and what they still correct says that it was amended. */
export type Seal = {
  readonly id: string;
  readonly gameId: string;
  readonly authorId: string;
  readonly sealedAt: string;
};

export type RecordOf = {
  readonly game: Game;
  readonly film: Film;
  readonly play: Play;
  readonly angle: Angle;
  readonly moment: Moment;
  readonly stake: Stake;
  readonly carry: Carry;
  readonly mark: Mark;
  readonly grade: Grade;
  readonly ruling: Ruling;
  readonly note: PrivateNote;
  readonly seal: Seal;
};
export type Family = keyof RecordOf;

/** Families in the order their rows must be written: an owner before what it owns. */
export const families = [
  "game",
  "film",
  "play",
  "angle",
  "moment",
  "stake",
  "carry",
  "mark",
  "grade",
  "ruling",
  "note",
  "seal",
] as const satisfies readonly Family[];

/** A whole game as the window holds it. */
export type GameRecords = {
  readonly game: Game;
  readonly films: readonly Film[];
  readonly plays: readonly Play[];
  readonly angles: readonly Angle[];
  readonly moments: readonly Moment[];
  readonly stakes: readonly Stake[];
  readonly carries: readonly Carry[];
  readonly marks: readonly Mark[];
  readonly grades: readonly Grade[];
  readonly rulings: readonly Ruling[];
  readonly notes: readonly PrivateNote[];
  readonly seals: readonly Seal[];
};

/** A game of which nothing but the game itself is known. */
export const emptyGame = {
  films: [],
  plays: [],
  angles: [],
  moments: [],
  stakes: [],
  carries: [],
  marks: [],
  grades: [],
  rulings: [],
  notes: [],
  seals: [],
} as const satisfies Partial<GameRecords>;

/** Default one-sigma click errors, pixels: a stake on paint by hand and settled on it, and a point between two feet. */
export const defaultStakeSigmaPx = 1.5;
export const snappedStakeSigmaPx = 0.5;
export const defaultMarkSigmaPx = 2;
