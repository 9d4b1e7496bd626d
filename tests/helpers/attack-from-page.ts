/**
 * What a page of somebody else can try against the window's address, run inside that page. Each try says "READ …" or "DONE …" when
 * it got at anything, and otherwise how it failed. Self-contained: it is sent into the page as it is.
 */
export type Target = {
  readonly origin: string;
  readonly filmPath: string;
  readonly assetPath: string;
  readonly imagePath: string;
};

export async function attackFromPage({
  origin,
  filmPath,
  assetPath,
  imagePath,
}: Target): Promise<Record<string, string>> {
  const waitMs = 3000;
  const socketOrigin = origin.replace("http", "ws");
  const late = <T>(value: T): Promise<T> => new Promise((settle) => setTimeout(() => settle(value), waitMs));
  const asked = async (path: string, options: RequestInit): Promise<string> => {
    const reply = await fetch(origin + path, { credentials: "include", ...options });
    const text = await reply.text().catch(() => "");
    return reply.type === "opaque" && text === "" ? "opaque" : `READ ${reply.status} ${text.slice(0, 40)}`;
  };
  const loaded = (name: string, wanted: string, set: (element: HTMLElement) => void): Promise<string> =>
    new Promise((settle) => {
      const element = document.createElement(name);
      element.addEventListener(wanted, () => settle(`READ by ${name}`));
      element.addEventListener("error", () => settle("refused"));
      set(element);
      document.body.append(element);
      setTimeout(() => settle("nothing came"), waitMs);
    });
  const framed = async (path: string, sandbox: string | null): Promise<string> => {
    const frame = document.createElement("iframe");
    if (sandbox !== null) frame.setAttribute("sandbox", sandbox);
    frame.src = origin + path;
    document.body.append(frame);
    await late(null);
    try {
      const inside = frame.contentDocument?.body.innerText ?? "";
      return inside === "" ? "nothing in it" : `READ in a frame: ${inside.slice(0, 40)}`;
    } catch {
      // Another origin, be it the browser's page of complaint. Frames inside it would be the window's own page.
      return frame.contentWindow?.length === 0 ? "closed to reading" : "READ frames in it";
    }
  };
  const opened = async (path: string): Promise<string> => {
    const heard: unknown[] = [];
    const hear = (event: MessageEvent): void => void (event.origin === origin && heard.push(event.data));
    addEventListener("message", hear);
    const popup = open(origin + path);
    if (popup === null) return "not opened";
    for (let number = 0; number < 10; number++) {
      await new Promise((settle) => setTimeout(settle, waitMs / 10));
      try {
        popup.postMessage("crewglass:connect", "*");
        popup.postMessage({ path: "games/remove" }, origin);
      } catch {
        // Cut off from it already.
      }
    }
    removeEventListener("message", hear);
    try {
      return `READ in a window: ${popup.document.body.innerText.slice(0, 40)}`;
    } catch {
      return heard.length > 0 ? `READ messages ${JSON.stringify(heard)}` : "closed to reading";
    } finally {
      popup.close();
    }
  };
  const submitted = async (path: string, method: string, type: string): Promise<string> => {
    const frame = document.createElement("iframe");
    frame.name = `sink-${Math.random()}`;
    const form = document.createElement("form");
    Object.assign(form, { action: origin + path, method, enctype: type, target: frame.name });
    const field = document.createElement("input");
    Object.assign(field, { name: '{"i":"1","p":{"u":"http://orpc/games/list","b":{}}}', value: "" });
    form.append(field);
    document.body.append(frame, form);
    form.submit();
    await late(null);
    try {
      const inside = frame.contentDocument?.body.innerText ?? "";
      return inside === "" ? "nothing in it" : `READ after a form: ${inside.slice(0, 40)}`;
    } catch {
      return "closed to reading";
    }
  };
  const link = (rel: string, path: string, as: string): Promise<string> =>
    loaded("link", "load", (one) =>
      Object.assign(one, { rel, as, href: origin + path, crossOrigin: "use-credentials" }),
    );

  const tries: Record<string, () => Promise<string>> = {
    "fetch, cors": () => asked("/", {}),
    "fetch, no-cors": () => asked("/", { mode: "no-cors" }),
    "fetch, no cookie": () => asked("/", { credentials: "omit" }),
    "fetch of the film": () => asked(filmPath, { headers: { range: "bytes=0-99" } }),
    "fetch of the film, no-cors": () => asked(filmPath, { mode: "no-cors" }),
    "fetch of a script of the window": () => asked(assetPath, {}),
    "fetch, HEAD": () => asked("/", { method: "HEAD", mode: "no-cors" }),
    "POST of text": () => asked("/rpc", { method: "POST", mode: "no-cors", body: "{}" }),
    "POST of JSON": () =>
      asked("/rpc", { method: "POST", body: "{}", headers: { "content-type": "application/json" } }),
    PUT: () => asked("/", { method: "PUT", body: "x" }),
    DELETE: () => asked(filmPath, { method: "DELETE" }),
    "POST with a keep-alive": () => asked("/rpc", { method: "POST", mode: "no-cors", body: "{}", keepalive: true }),
    "guess of a ticket": () => asked("/open?ticket=AAAA", { mode: "no-cors" }),
    XMLHttpRequest: () =>
      new Promise((settle) => {
        const request = new XMLHttpRequest();
        request.withCredentials = true;
        request.onload = () => settle(`READ ${request.status}`);
        request.onerror = () => settle("refused");
        request.open("GET", `${origin}/`);
        request.send();
      }),
    WebSocket: () =>
      new Promise((settle) => {
        const socket = new WebSocket(`${socketOrigin}/rpc`);
        socket.onopen = () => settle("DONE: a socket is open");
        socket.onerror = () => settle("refused");
      }),
    "WebSocket with a protocol": () =>
      new Promise((settle) => {
        const socket = new WebSocket(`${socketOrigin}/rpc`, ["crewglass"]);
        socket.onopen = () => settle("DONE: a socket is open");
        socket.onerror = () => settle("refused");
      }),
    EventSource: () =>
      new Promise((settle) => {
        const source = new EventSource(`${origin}/rpc`, { withCredentials: true });
        source.onopen = () => settle("READ a stream");
        source.onerror = () => (source.close(), settle("refused"));
      }),
    img: () => loaded("img", "load", (one) => Object.assign(one, { src: origin + imagePath })),
    "img of the film": () => loaded("img", "load", (one) => Object.assign(one, { src: origin + filmPath })),
    video: () => loaded("video", "loadedmetadata", (one) => Object.assign(one, { src: origin + filmPath })),
    "video, cors": () =>
      loaded("video", "loadedmetadata", (one) =>
        Object.assign(one, { crossOrigin: "use-credentials", src: origin + filmPath }),
      ),
    audio: () => loaded("audio", "loadedmetadata", (one) => Object.assign(one, { src: origin + filmPath })),
    "track of a video": () => loaded("track", "load", (one) => Object.assign(one, { src: origin + filmPath })),
    script: () => loaded("script", "load", (one) => Object.assign(one, { src: origin + assetPath })),
    "script, module": () =>
      loaded("script", "load", (one) => Object.assign(one, { type: "module", src: origin + assetPath })),
    "import()": async () =>
      `READ ${Object.keys((await import(/* @vite-ignore */ origin + assetPath)) as object).length}`,
    stylesheet: () => link("stylesheet", "/", "style"),
    preload: () => link("preload", assetPath, "script"),
    object: () => loaded("object", "load", (one) => Object.assign(one, { data: origin + imagePath })),
    embed: () => loaded("embed", "loadeddata", (one) => Object.assign(one, { src: origin + imagePath })),
    frame: () => framed("/", null),
    "frame, sandboxed": () => framed("/", "allow-scripts allow-forms"),
    "frame of the film": () => framed(filmPath, null),
    "form, text": () => submitted("/rpc", "post", "text/plain"),
    "form, multipart": () => submitted("/rpc", "post", "multipart/form-data"),
    "form, get": () => submitted("/open", "get", "application/x-www-form-urlencoded"),
    "window.open": () => opened("/"),
    "window.open of the film": () => opened(filmPath),
    sendBeacon: async () => (navigator.sendBeacon(`${origin}/rpc`, "{}"), "sent"),
    worker: async () => (new Worker(origin + assetPath), "DONE: a worker runs"),
    "shared worker": async () => (new SharedWorker(origin + assetPath), "DONE: a worker runs"),
    "service worker": async () => {
      await navigator.serviceWorker.register(origin + assetPath, { scope: origin });
      return "DONE: a service worker is registered";
    },
    importScripts: () =>
      new Promise((settle) => {
        const source = `try { importScripts(${JSON.stringify(origin + assetPath)}); postMessage("READ") } catch { postMessage("refused") }`;
        const worker = new Worker(URL.createObjectURL(new Blob([source])));
        worker.onmessage = ({ data }) => settle(String(data));
        worker.onerror = () => settle("refused");
      }),
    caches: async () => {
      const cache = await caches.open("mine");
      await cache.add(new Request(`${origin}/`, { credentials: "include" }));
      return "READ into a cache";
    },
  };
  const results = Object.entries(tries).map(async ([name, run]) => {
    const failed = (error: unknown): string => `refused: ${error instanceof Error ? error.name : String(error)}`;
    const attempt = (async () => run())().catch(failed);
    return [name, await Promise.race([attempt, late("nothing came").then(() => late("nothing came"))])] as const;
  });
  return Object.fromEntries(await Promise.all(results));
}
