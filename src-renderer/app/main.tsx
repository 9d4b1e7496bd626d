import { createRoot } from "react-dom/client";
import "./app.css";
import "../fieldbook/fieldbook.css";
import { createClient } from "./client.ts";
import { Root } from "./root.tsx";
import { applySheet, storedSheet } from "./sheet.ts";

const root = document.getElementById("root");
if (root === null) throw new Error("index.html has no #root");
applySheet(storedSheet());
createRoot(root).render(<Root client={createClient()} />);
