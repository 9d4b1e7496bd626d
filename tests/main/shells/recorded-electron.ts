/** In Electron's place: a module that records what is asked of Electron, so that the entry runs in plain Node. */
type Listener = (...args: never[]) => unknown;

/** What was called, in order. */
export const calls: string[] = [];
export const listeners = new Map<string, Listener[]>();
/** What was handed over once: handlers, options, schemes, each by its name. */
export const heard: { [name: string]: unknown } = {};
/** Resolved when Electron is to be ready. */
export const ready = Promise.withResolvers<void>();

const listen =
  (of: string) =>
  (event: string, listener: Listener): void =>
    void listeners.set(`${of} ${event}`, [...(listeners.get(`${of} ${event}`) ?? []), listener]);

class BrowserWindow {
  once = listen("window");
  constructor(options: unknown) {
    calls.push("new BrowserWindow");
    heard["window"] = options;
  }
  show = (): void => void calls.push("show");
  focus = (): void => void calls.push("focus");
  loadURL = (url: string): Promise<void> => {
    calls.push(`loadURL ${url}`);
    return Promise.resolve();
  };
}

export const electron = {
  app: {
    isPackaged: false,
    getAppPath: () => process.env["CREWGLASS_TEST_ROOT"] ?? "",
    enableSandbox: () => void calls.push("enableSandbox"),
    requestSingleInstanceLock: () => calls.push("lock") > 0,
    whenReady: () => ready.promise,
    on: listen("app"),
    once: listen("app"),
    quit: () => void calls.push("quit"),
    exit: () => void calls.push("exit"),
  },
  BrowserWindow,
  dialog: { showErrorBox: (title: string, text: string) => void (heard["error"] = [title, text]) },
  ipcMain: { on: listen("ipc") },
  ipcRenderer: {
    postMessage: (channel: string, message: unknown, ports: readonly unknown[]) => {
      calls.push(`postMessage ${channel}`);
      heard["posted"] = { message, ports };
    },
  },
  Menu: { setApplicationMenu: () => {} },
  protocol: {
    registerSchemesAsPrivileged: (schemes: unknown) => {
      calls.push("registerSchemesAsPrivileged");
      heard["schemes"] = schemes;
    },
    handle: (scheme: string, handler: unknown) => {
      calls.push(`handle ${scheme}`);
      heard[scheme] = handler;
    },
  },
  session: {
    defaultSession: {
      setPermissionRequestHandler: (handler: unknown) => void (heard["request"] = handler),
      setPermissionCheckHandler: (handler: unknown) => void (heard["check"] = handler),
    },
  },
  shell: {
    openExternal: (url: string) => void calls.push(`openExternal ${url}`),
    openPath: (path: string) => Promise.resolve(calls.push(`openPath ${path}`) > 0 ? "" : "no"),
  },
};

export const handlerOf = <T>(name: string): T => heard[name] as T;

/** What the handler of the own scheme answers. */
export const serve = (url: string, init?: RequestInit): Promise<Response> =>
  handlerOf<(request: Request) => Promise<Response>>("app")(new Request(url, init));

export function emit(name: string, ...args: unknown[]): void {
  for (const listener of listeners.get(name) ?? []) (listener as (...all: unknown[]) => unknown)(...args);
}

/** New contents as Electron announces them: what would be opened for an address, and which events were prevented. */
export function newContents(): { readonly open: (url: string) => unknown; readonly prevented: readonly string[] } {
  const prevented: string[] = [];
  let open: (details: { url: string }) => unknown = () => "allowed";
  emit("app web-contents-created", null, {
    setWindowOpenHandler: (handler: typeof open) => (open = handler),
    on: (event: string, listener: (event: { preventDefault: () => void }) => void) =>
      listener({ preventDefault: () => prevented.push(event) }),
  });
  return { open: (url) => open({ url }), prevented };
}
