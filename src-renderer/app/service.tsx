import { createContext, useContext } from "react";
import type { Client } from "./client.ts";

type Info = Awaited<ReturnType<Client["library"]["info"]>>;

/** What every place of the window needs of the service. */
export type Service = { readonly client: Client; readonly info: Info };

export const ServiceContext = createContext<Service | null>(null);

export function useService(): Service {
  const service = useContext(ServiceContext);
  if (!service) throw new Error("useService outside of the workstation");
  return service;
}
