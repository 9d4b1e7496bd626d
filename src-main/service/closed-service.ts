import { isContractProcedure } from "@orpc/contract";
import type { AnyRouter } from "@orpc/server";
import { contract } from "#core/contract/contract";
import { Failure } from "#core/contract/errors";
import { createImplementer } from "./implementer.ts";
import { libraryProcedures, type LibraryProceduresOptions } from "./library-procedures.ts";

export type ClosedServiceOptions = Omit<LibraryProceduresOptions, "library" | "backups">;

/** The service while no library is open: backups, diagnostics and a way on; everything else says that none is open. */
export function createClosedService(options: ClosedServiceOptions): AnyRouter {
  const os = createImplementer(options.log);
  const answered: Tree = libraryProcedures(os, { ...options, library: null, backups: null });
  return closedTree(contract, os as unknown as Tree, answered) as AnyRouter;
}

/** A tree of procedures, of their contracts or of their builders, by name. */
type Tree = { readonly [name: string]: unknown };
type Builder = { readonly handler: (handle: () => never) => unknown };

function closedTree(of: Tree, os: Tree, answered: Tree): Tree {
  return Object.fromEntries(
    Object.entries(of).map(([name, part]) => {
      const known = answered[name];
      if (!isContractProcedure(part)) return [name, closedTree(part as Tree, os[name] as Tree, (known ?? {}) as Tree)];
      return [name, known ?? (os[name] as Builder).handler(refuse)];
    }),
  );
}

function refuse(): never {
  throw new Failure("LIBRARY_FAILED", "No library is open: the window says why, and what can be done.");
}
