/** What the desktop window may ask for, decided without Electron so that plain Node can test it. */

export const origin = "app://crewglass";

/** Sites that a link in the window may open in the person's own browser: none so far. */
const outsideHosts: ReadonlySet<string> = new Set();

export function mayOpenOutside(url: string, hosts: ReadonlySet<string> = outsideHosts): boolean {
  const parsed = URL.parse(url);
  return parsed !== null && parsed.protocol === "https:" && parsed.username === "" && hosts.has(parsed.host);
}

/** A frame as Electron names the sender of a message; null once it has gone. */
export type SenderFrame = { readonly url: string; readonly parent: unknown } | null;

/** Only the top frame of the window's own page may hold a port to the service. */
export function isOwnPage(frame: SenderFrame): boolean {
  if (frame === null || frame.parent !== null) return false;
  return frame.url === origin || frame.url.startsWith(`${origin}/`);
}
