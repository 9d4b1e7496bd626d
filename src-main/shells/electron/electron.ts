/** Entry of the desktop shell: everything that only Electron can do, and nothing else. */
import { join } from "node:path";
import { app, BrowserWindow, dialog, ipcMain, Menu, protocol, session, shell } from "electron";
import { Failure } from "#core/contract/errors";
import { argumentsOfApp, parseShellArguments } from "../arguments.ts";
import { openWorkstation } from "../open-workstation.ts";
import { answer, readPages, type Pages } from "../pages.ts";
import { contentSecurityPolicy, securityHeaders } from "../policy.ts";
import { createPortService } from "../serve-calls.ts";
import type { Workstation } from "../workstation.ts";
import { isOwnPage, mayOpenOutside, origin } from "./boundary.ts";

const headers = securityHeaders(contentSecurityPolicy(null));
const webPreferences = {
  preload: join(app.getAppPath(), "out", "preload", "preload.cjs"),
  contextIsolation: true,
  sandbox: true,
  nodeIntegration: false,
  webviewTag: false,
  spellcheck: false,
};

let window: BrowserWindow | null = null;

async function pickFilm(): Promise<string | null> {
  const filters = [{ name: "Film", extensions: ["mp4", "m4v", "mov", "mkv", "webm", "ts", "m2ts", "mts", "avi"] }];
  const options = { properties: ["openFile" as const], filters };
  const picked = await (window === null ? dialog.showOpenDialog(options) : dialog.showOpenDialog(window, options));
  return picked.filePaths[0] ?? null;
}

async function showFolder(path: string): Promise<void> {
  const why = await shell.openPath(path);
  if (why !== "") throw new Failure("NOT_HERE", `The folder could not be opened: ${why}. It lies at ${path}.`);
}

function servePages(pages: Pages, workstation: Workstation): void {
  protocol.handle("app", async (request) => {
    const { host, pathname } = new URL(request.url);
    const ours = host === new URL(origin).host;
    const reply = ours
      ? await answer(request, { path: pathname }, pages, workstation.serveFilm)
      : new Response(null, { status: 404 });
    for (const [name, value] of Object.entries(headers)) reply.headers.set(name, value);
    return reply;
  });
}

function serveCalls(workstation: Workstation): void {
  const servePort = createPortService(workstation, workstation.logBug);
  ipcMain.on("crewglass:port", (event) => {
    const port = event.ports[0];
    if (port === undefined) return;
    if (isOwnPage(event.senderFrame)) servePort(port);
    else port.close();
  });
}

function openWindow(): void {
  window = new BrowserWindow({ width: 1440, height: 900, minWidth: 960, minHeight: 600, show: false, webPreferences });
  window.once("ready-to-show", () => window?.show());
  window.once("closed", () => (window = null));
  void window.loadURL(`${origin}/`);
}

async function start(): Promise<void> {
  const parsed = parseShellArguments(argumentsOfApp(process.argv, app.isPackaged));
  if (parsed.kind === "refused") return fail(parsed.sentence);
  // A library that does not open is served too: the window says why, and what can be done.
  const workstation = await openWorkstation(app.getAppPath(), {
    libraryPath: parsed.value.libraryPath,
    pickFilm,
    showFolder,
  });
  session.defaultSession.setPermissionRequestHandler((_contents, _permission, decide) => decide(false));
  session.defaultSession.setPermissionCheckHandler(() => false);
  servePages(readPages(join(app.getAppPath(), "out", "renderer")), workstation);
  serveCalls(workstation);
  app.once("will-quit", (event) => {
    // Electron waits for no promise: a last backup is made first, and then it quits again.
    event.preventDefault();
    void workstation.close().finally(() => app.exit());
  });
  app.on("second-instance", () => window?.focus());
  app.on("window-all-closed", () => app.quit());
  Menu.setApplicationMenu(null);
  openWindow();
}

function fail(sentence: string): void {
  dialog.showErrorBox("Crewglass could not start", sentence);
  app.exit(1);
}

app.on("web-contents-created", (_event, contents) => {
  contents.setWindowOpenHandler(({ url }) => {
    if (mayOpenOutside(url)) void shell.openExternal(url);
    return { action: "deny" };
  });
  contents.on("will-navigate", (event) => event.preventDefault());
  // The event before tells of the window's own frame only.
  contents.on("will-frame-navigate", (event) => event.preventDefault());
  contents.on("will-attach-webview", (event) => event.preventDefault());
});

app.enableSandbox();
protocol.registerSchemesAsPrivileged([
  { scheme: "app", privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true, codeCache: true } },
]);
if (app.requestSingleInstanceLock()) {
  // Never awaited at the top level: Electron becomes ready only after this module has been evaluated.
  void app
    .whenReady()
    .then(start)
    .catch((error: unknown) => {
      console.error(error);
      fail("Crewglass met an error of its own while starting; its log says what it was. Nothing was lost.");
    });
} else {
  app.quit();
}
