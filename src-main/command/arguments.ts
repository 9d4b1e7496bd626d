import { parseArgs } from "node:util";

export const usage = `crewglass: the work without a window.

  crewglass check LIBRARY             is it whole, and what is in it
  crewglass import LIBRARY PACKET…    take packets in, each all or nothing
  crewglass totals LIBRARY            the season's totals
  crewglass report LIBRARY FOLDER     the season as PDF, HTML, CSV and JSON, into a new folder of FOLDER

  --json       what is said, as JSON
  --top K      how many are looked for at a position (4)
  --observers  in a report, the observers' severity too: for their own training, and private

Ends with 0 when all went well, 1 when something was refused or is not whole, 2 when it was called otherwise than above.
The program may not have the library open meanwhile.`;

export type Command =
  | { readonly kind: "check" | "totals"; readonly library: string }
  | { readonly kind: "import"; readonly library: string; readonly packets: readonly string[] }
  | { readonly kind: "report"; readonly library: string; readonly folder: string };

export type Called =
  | {
      readonly ok: true;
      readonly command: Command;
      readonly json: boolean;
      readonly topK: number;
      readonly withObservers: boolean;
    }
  | { readonly ok: false; readonly sentence: string; readonly isHelp: boolean };

export function parseCommand(args: readonly string[]): Called {
  const refused = (sentence: string): Called => ({ ok: false, sentence, isHelp: false });
  let parsed;
  try {
    parsed = parseArgs({
      args: [...args],
      allowPositionals: true,
      options: {
        json: { type: "boolean" },
        help: { type: "boolean" },
        observers: { type: "boolean" },
        top: { type: "string" },
      },
    });
  } catch (error) {
    return refused(error instanceof Error ? error.message : String(error));
  }
  const { values, positionals } = parsed;
  if (values.help === true) return { ok: false, sentence: "", isHelp: true };
  const topK = Number(values.top ?? "4");
  if (!Number.isInteger(topK) || topK < 1 || topK > 200) return refused("--top takes a whole number from 1 to 200.");
  const [kind, library, ...rest] = positionals;
  const called = (command: Command): Called => ({
    ok: true,
    command,
    json: values.json === true,
    topK,
    withObservers: values.observers === true,
  });
  if (kind === undefined) return refused("Say what is to be done.");
  if (library === undefined || library === "") return refused("Say which library: the path of its file.");
  switch (kind) {
    case "check":
    case "totals":
      return rest.length === 0 ? called({ kind, library }) : refused(`${kind} takes a library and nothing more.`);
    case "import":
      return rest.length > 0 ? called({ kind, library, packets: rest }) : refused("Say which packets: their files.");
    case "report": {
      const [folder, ...more] = rest;
      return folder !== undefined && more.length === 0
        ? called({ kind, library, folder })
        : refused("report takes a library and a folder.");
    }
    default:
      return refused(`There is no command “${kind}”.`);
  }
}
