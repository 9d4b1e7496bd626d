/** The service over one library, as a shell holds it. */
import type { AnyRouter } from "@orpc/server";
import type { Opening } from "../service/library-procedures.ts";
import type { ServeFilm } from "./pages.ts";

/** The service as it is now. A restored library puts another in its place, and lines to the one before are then ended. */
export type ServiceSource = {
  readonly router: () => AnyRouter;
  readonly onReplaced: (listener: () => void) => void;
};

export type Workstation = ServiceSource & {
  /** Whether the library is open; a closed one is served too, for a window that offers what can be done. */
  readonly opening: () => Opening;
  readonly serveFilm: ServeFilm;
  /** Writes down an error of our own that came up in the shell. */
  readonly logBug: (error: unknown) => void;
  readonly close: () => Promise<void>;
};

export type WorkstationOptions = {
  readonly libraryPath: string;
  /** The system's file dialog, null in a shell that has none. Gives null when the person closed it. */
  readonly pickFilm: (() => Promise<string | null>) | null;
  /** Opens a folder in the system's own window of files; null in a shell that cannot. */
  readonly showFolder: ((path: string) => Promise<void>) | null;
};

/** For whoever works on the program: an error is printed with its message, which may quote what a person typed. */
export type WorkstationOptionsOfDevelopers = WorkstationOptions & { readonly printsErrorsWhole?: boolean };

export type OpenWorkstation = (options: WorkstationOptions) => Promise<Workstation>;
