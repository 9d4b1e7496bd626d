import { useCallback, useEffect, useState } from "react";
import type { Client } from "../app/client.ts";
import { CopyText } from "../app/copy-details.tsx";
import { useFailures } from "../app/failures.tsx";
import { Button } from "../parts/button.tsx";

type Diagnostics = Awaited<ReturnType<Client["diagnostics"]["read"]>>;
type Fact = Diagnostics["facts"][number];

/** What somebody who helps needs to know. Nothing here names a person, a game or, but for the log's own place, a file. */
export function DiagnosticsPage({ client }: { readonly client: Client }) {
  const { attempt } = useFailures();
  const [read, setRead] = useState<Diagnostics | null>(null);
  const [window_, setWindow] = useState<readonly Fact[]>([]);
  const refresh = useCallback(async () => {
    const [answer, facts] = await Promise.all([attempt(() => client.diagnostics.read()), windowFacts()]);
    if (answer) setRead(answer);
    setWindow(facts);
  }, [attempt, client]);
  useEffect(() => void refresh(), [refresh]);
  if (read === null) return <p className="soft">Asking the program…</p>;
  const facts = [...read.facts, ...window_];
  const text = () => [...facts.map(({ of, is }) => `${of}: ${is}`), "", ...read.log].join("\n");
  return (
    <>
      <section aria-label="Facts">
        <h2>This program</h2>
        <p className="soft">
          For whoever helps you. It holds no names, grades, games or folders: read it, copy it, and send it yourself.
          Nothing is sent from here.
        </p>
        <p className="row">
          <CopyText text={text} label="Copy all of it" />
          <Button onPress={() => void refresh()}>Read again</Button>
        </p>
        <table className="library-table facts">
          <tbody>
            {facts.map(({ of, is }) => (
              <tr key={of}>
                <th scope="row">{of}</th>
                <td>{is}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <section aria-label="Log">
        <h2>Log</h2>
        <p className="soft">
          What happened lately, the latest last. It lies in <span className="path">{read.logPath ?? "no file"}</span>.
        </p>
        {read.log.length === 0 ? (
          <p className="empty">Nothing has been written yet.</p>
        ) : (
          // A person with a keyboard scrolls it by its own focus.
          <pre className="library-log" tabIndex={0} aria-label="Lines of the log">
            {read.log.join("\n")}
          </pre>
        )}
      </section>
    </>
  );
}

/** What the window itself can do here: decoding films is the browser's part. */
async function windowFacts(): Promise<Fact[]> {
  const codecs = { "H.264": "avc1.640028", HEVC: "hvc1.1.6.L93.B0", VP9: "vp09.00.40.08", AV1: "av01.0.08M.08" };
  const decoded = await Promise.all(
    Object.entries(codecs).map(async ([name, codec]) => {
      const { supported } = await VideoDecoder.isConfigSupported({ codec }).catch(() => ({ supported: false }));
      return supported === true ? name : null;
    }),
  );
  return [
    { of: "Window", is: /(?:Electron|Edg|Chrome)\/[\d.]+/u.exec(navigator.userAgent)?.[0] ?? "unknown" },
    { of: "Screen", is: `${window.innerWidth} × ${window.innerHeight} at ${window.devicePixelRatio}` },
    { of: "Decodes", is: decoded.filter((name) => name !== null).join(", ") || "nothing" },
  ];
}
