/** The service over one open library, as a shell holds it. */
import type { AnyRouter } from "@orpc/server";
import type { ServeFilm } from "./pages.ts";

export type Workstation = {
  readonly router: AnyRouter;
  readonly serveFilm: ServeFilm;
  readonly close: () => void | Promise<void>;
};

export type WorkstationOptions = {
  readonly libraryPath: string;
  /** The system's file dialog, null in a shell that has none. Gives null when the person closed it. */
  readonly pickFilm: (() => Promise<string | null>) | null;
  /** Opens a folder in the system's own window of files; null in a shell that cannot. */
  readonly showFolder: ((path: string) => Promise<void>) | null;
};

/** "failed" carries a sentence that says what to do; the library is as it was. */
export type OpenedWorkstation =
  | { readonly kind: "open"; readonly workstation: Workstation }
  | { readonly kind: "failed"; readonly sentence: string };

export type OpenWorkstation = (options: WorkstationOptions) => Promise<OpenedWorkstation>;
