import { createRouterClient, ORPCError, type RouterClient } from "@orpc/server";
import { createBackupKeeper } from "../../../src-main/backups/backup-keeper.ts";
import type { Log } from "../../../src-main/log/log.ts";
import type { LibraryDoor } from "../../../src-main/service/library-procedures.ts";
import { createService, type Service, type ServiceOptions } from "../../../src-main/service/create-service.ts";
import { projectRoot } from "../../helpers/launch.ts";
import { reportWriters } from "../../../src-main/reports/report-writers.ts";
import type { Library } from "../../../src-main/store/library.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { contentFilmTools } from "./content-film-tools.ts";

/** The door of a library that stays where it is. */
export const noDoor: LibraryDoor = {
  opening: () => ({ state: "open" }),
  tryAgain: async () => ({ state: "open" }),
  replaceWith: () => Promise.reject(new Error("this library stays where it is")),
};

/** The service over a real library, called as the window calls it but in one process; `logged` is what reached the log. */
export function aService(
  library: Library,
  with_: Partial<ServiceOptions> = {},
): {
  readonly router: Service;
  readonly client: RouterClient<Service>;
  readonly logged: { message: string; error: unknown }[];
} {
  const logged: { message: string; error: unknown }[] = [];
  const log: Log = {
    note: () => {},
    bug: (message, error) => void logged.push({ message, error }),
    tail: () => [],
    path: null,
  };
  const router = createService({
    library,
    filmTools: contentFilmTools,
    shell: { pickFilm: null, showFolder: null, homeFolder: temporaryFolder() },
    reportWriters: () => reportWriters(projectRoot),
    demo: null,
    version: "0.1.0",
    log,
    backups: createBackupKeeper({ library, clock: () => new Date("2026-09-19T18:30:00Z"), told: () => {} }),
    door: noDoor,
    ...with_,
  });
  return { router, client: createRouterClient(router), logged };
}

/** What crosses the contract when a call fails: code, message and details, and whether the contract knows the code. */
export async function answerTo(call: Promise<unknown>) {
  try {
    await call;
  } catch (error) {
    if (!(error instanceof ORPCError)) throw error;
    return {
      code: error.code as string,
      message: error.message,
      details: error.data as unknown,
      known: error.defined,
      sent: JSON.stringify(error.toJSON()),
    };
  }
  throw new Error("nothing was refused");
}
