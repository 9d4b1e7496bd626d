/** Hands the page one end of a message port; the other goes to the main process, which looks at who asks. */
import type { MessagePort } from "node:worker_threads";
import { ipcRenderer } from "electron";

/** The little of the page's window that is used here: this layer is otherwise compiled without the DOM. */
declare const window: {
  readonly addEventListener: (type: "message", listener: (event: { source: unknown; data: unknown }) => void) => void;
  readonly postMessage: (message: string, targetOrigin: string, transfer: readonly MessagePort[]) => void;
  readonly location: { readonly origin: string };
};

window.addEventListener("message", (event) => {
  if (event.source !== window || event.data !== "crewglass:connect") return;
  const { port1, port2 } = new MessageChannel();
  ipcRenderer.postMessage("crewglass:port", null, [port1]);
  window.postMessage("crewglass:port", window.location.origin, [port2]);
});
