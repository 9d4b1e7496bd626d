import { useEffect, useState } from "react";
import type { Client } from "../app/client.ts";
import { useFailures } from "../app/failures.tsx";

/** Whose work is in the program, and under which licence. */
export function LicencesPage({ client }: { readonly client: Client }) {
  const { attempt } = useFailures();
  const [read, setRead] = useState<{ readonly text: string | null } | null>(null);
  useEffect(() => void attempt(() => client.diagnostics.licences()).then(setRead), [attempt, client]);
  if (read === null) return <p className="soft">Reading the licences…</p>;
  if (read.text === null) {
    return <p className="empty">This program was not built, so that nothing of others’ is in it: see node_modules.</p>;
  }
  return (
    <section className="licences" aria-label="Licences">
      <pre className="library-log" tabIndex={0} aria-label="Licences of everything in the program">
        {read.text}
      </pre>
    </section>
  );
}
