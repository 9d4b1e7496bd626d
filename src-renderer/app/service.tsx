import { createContext, useContext } from "react";
import type { Client } from "./client.ts";

type Info = Awaited<ReturnType<Client["library"]["info"]>>;
export type Settings = Awaited<ReturnType<Client["library"]["settings"]>>;

/** What every place of the window needs of the service. */
export type Service = {
  readonly client: Client;
  readonly info: Info;
  readonly settings: Settings;
  /** Keeps a part of the settings in the library; what it throws is told by the caller. */
  readonly set: (part: Partial<Settings>) => Promise<void>;
};

export const ServiceContext = createContext<Service | null>(null);

export function useService(): Service {
  const service = useContext(ServiceContext);
  if (!service) throw new Error("useService outside of the workstation");
  return service;
}
