import { createRoot } from "react-dom/client";
import "./app.css";
import "../fieldbook/fieldbook.css";
import { createClient } from "./client.ts";
import { FailureBoard } from "./failures.tsx";
import { applySheet, storedSheet } from "./sheet.ts";
import { Workstation } from "./workstation.tsx";

const root = document.getElementById("root");
if (root === null) throw new Error("index.html has no #root");
applySheet(storedSheet());
createRoot(root).render(
  <FailureBoard>
    <Workstation client={createClient()} />
  </FailureBoard>,
);
