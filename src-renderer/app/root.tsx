import { useEffect, useState, useSyncExternalStore } from "react";
import { ClosedLibrary } from "../library/closed-library.tsx";
import { type Client, nextLine, watchConnection } from "./client.ts";
import { knowVersion } from "./details.ts";
import { FailureBoard, useFailures } from "./failures.tsx";
import { Fallen, tellOf } from "./fallen.tsx";
import { Workstation } from "./workstation.tsx";

type Opening = Awaited<ReturnType<Client["library"]["opening"]>>;

/** The window: begun anew whenever another library has been put in place, so that nothing of the one before is left in it. */
export function Root({ client }: { readonly client: Client }) {
  const [{ epoch, told }, setEpoch] = useState({ epoch: 0, told: "" });
  const [isWaiting, setIsWaiting] = useState(false);
  const beginAnew = (sentence: string) => setEpoch((before) => ({ epoch: before.epoch + 1, told: sentence }));
  const onReplaced = (sentence: string) => {
    // The program ends its lines to the library before; calls on one of them would find it closed.
    setIsWaiting(true);
    void nextLine(watchConnection()).then(() => {
      setIsWaiting(false);
      beginAnew(sentence);
    });
  };
  useEffect(() => {
    const onError = (event: ErrorEvent) => void tellOf(client, event.error);
    const onRejection = (event: PromiseRejectionEvent) => void tellOf(client, event.reason);
    window.addEventListener("error", onError);
    window.addEventListener("unhandledrejection", onRejection);
    return () => {
      window.removeEventListener("error", onError);
      window.removeEventListener("unhandledrejection", onRejection);
    };
  }, [client]);
  return (
    <Fallen client={client} onAgain={() => beginAnew("")}>
      <FailureBoard key={epoch}>
        {isWaiting ? (
          <main className="loading">Opening the library…</main>
        ) : (
          <Door client={client} told={told} onReplaced={onReplaced} />
        )}
      </FailureBoard>
    </Fallen>
  );
}

type DoorProps = {
  readonly client: Client;
  /** What was done to the library just before, in a sentence. */
  readonly told: string;
  readonly onReplaced: (sentence: string) => void;
};

function Door({ client, told, onReplaced }: DoorProps) {
  const { attempt } = useFailures();
  const connection = useSyncExternalStore(watchConnection().subscribe, watchConnection().getState);
  const [opening, setOpening] = useState<Opening | null>(null);
  useEffect(() => {
    void attempt(() => client.library.opening()).then((answer) => {
      if (answer?.state === "closed") knowVersion(answer.appVersion);
      setOpening(answer);
    });
  }, [attempt, client]);
  if (opening === null) {
    return (
      <main className="loading">
        {connection === "lost"
          ? "Crewglass is not answering. Start it again if it was closed."
          : "Opening the library…"}
      </main>
    );
  }
  return opening.state === "open" ? (
    <Workstation client={client} told={told} onReplaced={onReplaced} />
  ) : (
    <ClosedLibrary client={client} opening={opening} onReplaced={onReplaced} />
  );
}
