/**
 * The Electron entry, run in plain Node against a module that records what is asked of Electron. What Electron itself
 * does with it is not tested here; that the entry asks for the right things, in the right order, is.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test, vi } from "vitest";
import { createORPCClient } from "@orpc/client";
import { RPCLink } from "@orpc/client/message-port";
import { listBackups } from "../../../src-main/backups/backup-shelf.ts";
import type { Client } from "../../../src-renderer/app/client.ts";
import { ensureBuilt, projectRoot } from "../../helpers/launch.ts";
import { mainPortOver } from "./main-port.ts";
import { calls, emit, handlerOf, newContents, ready, serve } from "./recorded-electron.ts";

vi.mock("electron", async () => (await import("./recorded-electron.ts")).electron);

const argv = process.argv;
const folder = mkdtempSync(join(tmpdir(), "crewglass-test-"));
const libraryPath = join(folder, "library.crewglass");

beforeAll(async () => {
  await ensureBuilt();
  process.env["CREWGLASS_TEST_ROOT"] = projectRoot;
  process.argv = ["electron", "--no-sandbox", projectRoot, "--library", libraryPath];
  // Electron becomes ready only after the entry was evaluated: were that awaited at the top level, this would hang.
  await import("../../../src-main/shells/electron/electron.ts");
  expect(calls).toEqual(["enableSandbox", "registerSchemesAsPrivileged", "lock"]);
}, 60_000);

afterAll(async () => {
  // Electron waits for no promise: it is kept from quitting until the library is backed up and closed.
  let prevented = false;
  emit("app will-quit", { preventDefault: () => (prevented = true) });
  expect(prevented).toBe(true);
  await vi.waitFor(() => expect(calls).toContain("exit"), 10_000);
  expect(listBackups(libraryPath)).toHaveLength(1);
  process.argv = argv;
  rmSync(folder, { recursive: true, force: true });
});

describe("the Electron entry", () => {
  test("has its sandbox, its scheme and its lock before Electron is ready, and its window after", async () => {
    expect(handlerOf<unknown>("schemes")).toEqual([
      {
        scheme: "app",
        privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true, codeCache: true },
      },
    ]);
    ready.resolve();
    await vi.waitFor(() => expect(calls).toContain("loadURL app://crewglass/"), 10_000);
    expect(handlerOf<{ webPreferences: unknown }>("window").webPreferences).toMatchObject({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webviewTag: false,
      preload: join(projectRoot, "out", "preload", "preload.cjs"),
    });
  });

  test("grants no permission", () => {
    const granted: boolean[] = [];
    handlerOf<(contents: null, permission: string, decide: (yes: boolean) => void) => void>("request")(
      null,
      "media",
      (yes) => granted.push(yes),
    );
    granted.push(handlerOf<() => boolean>("check")());
    expect(granted).toEqual([false, false]);
  });

  test("opens no window, follows no link and attaches no other page", () => {
    const { open, prevented } = newContents();
    expect(open("https://evil.example/")).toEqual({ action: "deny" });
    expect(open("file:///etc/passwd")).toEqual({ action: "deny" });
    expect(calls.filter((call) => call.startsWith("openExternal"))).toEqual([]);
    expect(prevented.toSorted()).toEqual(["will-attach-webview", "will-frame-navigate", "will-navigate"]);
  });

  test("serves its own pages with a policy, and nothing else", async () => {
    const page = await serve("app://crewglass/");
    expect(page.status).toBe(200);
    expect(page.headers.get("content-security-policy")).toMatch(/default-src 'none'.*connect-src 'self' blob:;/u);
    expect(page.headers.get("x-content-type-options")).toBe("nosniff");
    for (const url of [
      "app://other/",
      "app://crewglass/../package.json",
      "app://crewglass/%2e%2e/package.json",
      "app://crewglass/..%2fpackage.json",
      "app://crewglass/film/no-such",
      `app://crewglass/film/${encodeURIComponent("/etc/passwd")}`,
    ]) {
      const refused = await serve(url);
      expect([url, refused.status]).toEqual([url, 404]);
      expect(refused.headers.get("content-security-policy")).toContain("default-src 'none'");
    }
    expect((await serve("app://crewglass/", { method: "POST" })).status).toBe(405);
  });

  test("hands its service to the top frame of its own page only", async () => {
    const ask = async (frame: unknown): Promise<string> => {
      const { port1, port2 } = new MessageChannel();
      const closed = new Promise<string>((settle) => port1.addEventListener("close", () => settle("closed")));
      emit("ipc crewglass:port", { senderFrame: frame, ports: [mainPortOver(port2 as never)] });
      const client: Client = createORPCClient(new RPCLink({ port: port1 }));
      port1.start();
      const answer = await Promise.race([closed, client.library.info().then((info) => info.appVersion)]);
      port1.close();
      return answer;
    };
    expect(await ask({ url: "app://crewglass/", parent: null })).toBe("0.1.0");
    expect(await ask({ url: "app://crewglass/index.html", parent: null })).toBe("0.1.0");
    for (const frame of [
      null,
      { url: "app://crewglass/", parent: {} },
      { url: "app://crewglass.evil.example/", parent: null },
      { url: "https://evil.example/app://crewglass/", parent: null },
      { url: "file:///app/index.html", parent: null },
      { url: "about:blank", parent: null },
    ]) {
      expect(await ask(frame)).toBe("closed");
    }
    emit("ipc crewglass:port", { senderFrame: { url: "app://crewglass/", parent: null }, ports: [] });
  });

  test("serves film by id in ranges to its window", async () => {
    const { port1, port2 } = new MessageChannel();
    emit("ipc crewglass:port", {
      senderFrame: { url: "app://crewglass/", parent: null },
      ports: [mainPortOver(port2 as never)],
    });
    const client: Client = createORPCClient(new RPCLink({ port: port1 }));
    port1.start();
    const info = await client.library.info();
    expect(info.systemDialog).toBe(true);
    const { films } = await client.games.open({ gameId: info.demoGameId ?? "" });
    const part = await serve(`app://crewglass/film/${films[0]?.id}`, { headers: { range: "bytes=4-7" } });
    // ISO/IEC 14496-12: a file begins with a box of type "ftyp", written after its four bytes of size.
    expect([part.status, await part.text()]).toEqual([206, "ftyp"]);
    port1.close();
  });

  test("comes forward when it is started again, and ends with its window", () => {
    emit("app second-instance");
    expect(calls).toContain("focus");
    emit("app window-all-closed");
    expect(calls).toContain("quit");
  });
});
