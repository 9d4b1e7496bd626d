import type { GameRecords } from "#core/game/records";
import { useService } from "./service.tsx";

/** Whether what was broken down and measured stays as it is: the library can only be read, or the game is finalised. */
export function useReadOnly({ seals }: Pick<GameRecords, "seals">): boolean {
  return useService().info.readOnly || seals.length > 0;
}
