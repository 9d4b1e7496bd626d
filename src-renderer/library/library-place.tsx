import { useState } from "react";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { BackupsPage } from "./backups-page.tsx";
import { DiagnosticsPage } from "./diagnostics-page.tsx";
import "./library.css";
import { LicencesPage } from "./licences-page.tsx";

const pages = [
  { id: "backups", name: "File and backups" },
  { id: "diagnostics", name: "Diagnostics" },
  { id: "licences", name: "Licences" },
] as const;

/** The library itself, apart from what is in it. */
export function LibraryPlace({ onReplaced }: { readonly onReplaced: (sentence: string) => void }) {
  const { client, info } = useService();
  const [page, setPage] = useState<(typeof pages)[number]["id"]>("backups");
  return (
    <div className="library">
      <header className="head">
        <h1>Library</h1>
        <span className="soft crumbs">Crewglass {info.appVersion}</span>
        <nav className="pages" aria-label="Pages of the library">
          {pages.map(({ id, name }) => (
            <Button key={id} pressed={page === id} onPress={() => setPage(id)}>
              {name}
            </Button>
          ))}
        </nav>
      </header>
      <section className="library-page" aria-label={pages.find(({ id }) => id === page)?.name}>
        {page === "backups" ? <BackupsPage onReplaced={onReplaced} /> : null}
        {page === "diagnostics" ? <DiagnosticsPage client={client} /> : null}
        {page === "licences" ? <LicencesPage client={client} /> : null}
      </section>
    </div>
  );
}
