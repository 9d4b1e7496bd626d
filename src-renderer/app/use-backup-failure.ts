import { useEffect, useState } from "react";
import type { Client } from "./client.ts";

const everyMs = 60_000;

/** Why no backup could be made lately, asked once a minute: a disk that is full must be known before it matters. */
export function useBackupFailure(client: Client): string | null {
  const [failure, setFailure] = useState<string | null>(null);
  useEffect(() => {
    let isOpen = true;
    const ask = async () => {
      const listed = await client.backups.list().catch(() => null);
      if (isOpen && listed !== null) setFailure(listed.failure);
    };
    void ask();
    const timer = setInterval(() => void ask(), everyMs);
    return () => {
      isOpen = false;
      clearInterval(timer);
    };
  }, [client]);
  return failure;
}
