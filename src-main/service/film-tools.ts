import type { Film } from "#core/game/records";

/** What a container says of its picture track. Sizes as displayed. */
export type FilmFacts = {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly durationSec: number;
  readonly codec: string;
};

/** A film that cannot be played says so in a sentence, with the codec when it is known and the command that would help. */
export type FilmProbe =
  | { readonly ok: true; readonly facts: FilmFacts }
  | { readonly ok: false; readonly sentence: string; readonly codec: string | null; readonly command: string | null };

export type FilmState = "present" | "missing" | "changed";

/** What the service asks of the film side. Each rejects with the file system's own error when a file cannot be read. */
export type FilmTools = {
  readonly fingerprint: (path: string) => Promise<{ readonly fingerprint: string; readonly sizeBytes: number }>;
  readonly probe: (path: string) => Promise<FilmProbe>;
  readonly state: (film: Film) => Promise<FilmState>;
  /** Where the film lies in a folder or the folders in it, by its content; null when it is not there. */
  readonly find: (film: Film, folder: string) => Promise<string | null>;
  /** Whether a file of this name may be a film, by its ending. */
  readonly isFilmName: (name: string) => boolean;
};
