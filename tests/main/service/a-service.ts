import { createRouterClient, ORPCError, type RouterClient } from "@orpc/server";
import { createService, type Service, type ServiceOptions } from "../../../src-main/service/create-service.ts";
import { projectRoot } from "../../helpers/launch.ts";
import { reportWriters } from "../../../src-main/reports/report-writers.ts";
import type { Library } from "../../../src-main/store/library.ts";
import { temporaryFolder } from "../store/temporary-library.ts";
import { contentFilmTools } from "./content-film-tools.ts";
import { type Bug, serviceParts } from "./service-parts.ts";

/** The service over a real library, called as the window calls it but in one process; `logged` is what reached the log. */
export function aService(
  library: Library,
  with_: Partial<ServiceOptions> = {},
): {
  readonly router: Service;
  readonly client: RouterClient<Service>;
  readonly logged: Bug[];
} {
  const { parts, logged } = serviceParts(library);
  const router = createService({
    ...parts,
    filmTools: contentFilmTools,
    shell: { pickFilm: null, showFolder: null, homeFolder: temporaryFolder() },
    reportWriters: () => reportWriters(projectRoot),
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
