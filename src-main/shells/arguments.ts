/** What a person may say on the command line, the same for both shells. */
import { homedir } from "node:os";
import { resolve } from "node:path";
import { parseArgs } from "node:util";
import { defaultLibraryPath } from "../store/default-path.ts";

export type ShellArguments = {
  /** Absolute path of the library file: the one in the documents folder unless another was named. */
  readonly libraryPath: string;
  /** False: print the address and stay. */
  readonly window: boolean;
  /** Port of the browser shell; 0 takes any free one. */
  readonly port: number;
};

export type ParsedArguments =
  | { readonly kind: "arguments"; readonly value: ShellArguments }
  | { readonly kind: "refused"; readonly sentence: string };

export const usage = "Usage: npm start -- [--library PATH] [--no-window] [--port NUMBER]";

export function parseShellArguments(args: readonly string[]): ParsedArguments {
  try {
    const { values } = parseArgs({
      args: [...args],
      options: { library: { type: "string" }, "no-window": { type: "boolean" }, port: { type: "string" } },
    });
    const port = Number(values.port ?? "0");
    if (!/^\d{1,5}$/u.test(values.port ?? "0") || port > 65_535) {
      return { kind: "refused", sentence: `--port takes a number from 0 to 65535, not "${values.port}". ${usage}` };
    }
    if (values.library === "") return { kind: "refused", sentence: `--library takes a path. ${usage}` };
    const machine = { platform: process.platform, homeFolder: homedir(), environment: process.env };
    const libraryPath = values.library === undefined ? defaultLibraryPath(machine) : resolve(values.library);
    return { kind: "arguments", value: { libraryPath, window: values["no-window"] !== true, port } };
  } catch (error) {
    return { kind: "refused", sentence: `${error instanceof Error ? error.message : String(error)} ${usage}` };
  }
}

/** The person's part of Electron's command line. Unpackaged, it follows the app's folder, and switches precede that. */
export function argumentsOfApp(argv: readonly string[], isPackaged: boolean): readonly string[] {
  if (isPackaged) return argv.slice(1);
  const appAt = argv.findIndex((argument, index) => index > 0 && !argument.startsWith("-"));
  return appAt < 0 ? [] : argv.slice(appAt + 1);
}
