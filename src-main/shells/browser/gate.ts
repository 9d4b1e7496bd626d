/**
 * Who may talk to the loopback server. Any page of any site can send requests to 127.0.0.1, and a name can be made to
 * resolve to it, so the address alone proves nothing: the exact Host stops rebinding, Origin and Sec-Fetch-Site stop
 * other pages, and the cookie proves that the window was opened by this launch. Cookies ignore ports, hence a name
 * for each launch.
 */
import { randomBytes, timingSafeEqual } from "node:crypto";
import type { IncomingHttpHeaders } from "node:http";

export type Refusal = { readonly status: 401 | 403 | 421; readonly sentence: string };

export type Gate = {
  /** A new address part that opens the window once. */
  readonly issueTicket: () => string;
  /** The Set-Cookie value for a ticket, or null when it was never issued or is spent. */
  readonly spendTicket: (ticket: string) => string | null;
  /** Checks that hold for every request, before its path is looked at; null lets it through. */
  readonly checkSource: (headers: IncomingHttpHeaders) => Refusal | null;
  readonly checkCookie: (headers: IncomingHttpHeaders) => Refusal | null;
  /** A socket must name its origin; a missing one is refused too. */
  readonly checkUpgrade: (headers: IncomingHttpHeaders) => Refusal | null;
};

const token = (): string => randomBytes(32).toString("base64url");

function equal(left: string, right: string): boolean {
  const leftBytes = Buffer.from(left);
  const rightBytes = Buffer.from(right);
  return leftBytes.byteLength === rightBytes.byteLength && timingSafeEqual(leftBytes, rightBytes);
}

/** `host` is the exact Host header of this server, `127.0.0.1:PORT`. */
export function createGate(host: string): Gate {
  const origin = `http://${host}`;
  const cookieName = `crewglass-${randomBytes(6).toString("hex")}`;
  const secret = token();
  const tickets = new Set<string>();

  const checkSource = (headers: IncomingHttpHeaders): Refusal | null => {
    if (headers.host !== host) return { status: 421, sentence: "This server answers to its own address only." };
    if (headers.origin !== undefined && headers.origin !== origin) {
      return { status: 403, sentence: "Requests from other pages are refused." };
    }
    const site = headers["sec-fetch-site"];
    if (site !== undefined && site !== "same-origin" && site !== "none") {
      return { status: 403, sentence: "Requests from other pages are refused. Paste the address instead." };
    }
    return null;
  };

  const checkCookie = (headers: IncomingHttpHeaders): Refusal | null => {
    const sent = (headers.cookie ?? "").split(";").map((part) => part.trim());
    if (sent.some((part) => equal(part, `${cookieName}=${secret}`))) return null;
    return {
      status: 401,
      sentence: "This address opens once, in one browser. Use the window that is open, or start Crewglass again.",
    };
  };

  return {
    issueTicket: () => {
      const ticket = token();
      tickets.add(ticket);
      return ticket;
    },
    spendTicket: (ticket) => {
      const known = [...tickets].find((issued) => equal(issued, ticket));
      if (known === undefined) return null;
      tickets.delete(known);
      return `${cookieName}=${secret}; HttpOnly; SameSite=Strict; Path=/`;
    },
    checkSource,
    checkCookie,
    checkUpgrade: (headers) => {
      if (headers.origin === undefined) return { status: 403, sentence: "A socket must name its origin." };
      return checkSource(headers) ?? checkCookie(headers);
    },
  };
}
