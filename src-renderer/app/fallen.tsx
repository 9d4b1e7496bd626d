import { Component, type ReactNode } from "react";
import { Button } from "../parts/button.tsx";
import type { Client } from "./client.ts";
import { CopyDetails } from "./copy-details.tsx";

type Props = { readonly client: Client; readonly onAgain: () => void; readonly children: ReactNode };

/** Stands where the window would be after an error of our own in drawing it: what was saved is saved, and it can be drawn again. */
export class Fallen extends Component<Props, { readonly error: Error | null }> {
  override state: { readonly error: Error | null } = { error: null };

  static getDerivedStateFromError(error: unknown): { readonly error: Error } {
    return { error: error instanceof Error ? error : new Error(String(error)) };
  }

  override componentDidCatch(error: Error): void {
    void tellOf(this.props.client, error);
  }

  override render(): ReactNode {
    const { error } = this.state;
    if (error === null) return this.props.children;
    return (
      <main className="loading" role="alert">
        <h1>The window met an error of its own</h1>
        <p>Everything that was shown as saved is saved. Draw the window again to go on.</p>
        <p className="row">
          <Button
            look="primary"
            onPress={() => {
              this.setState({ error: null });
              this.props.onAgain();
            }}
          >
            Draw it again
          </Button>
          <CopyDetails code="WINDOW_FAILED" message={`${error.name}: ${error.message}\n${error.stack ?? ""}`} />
        </p>
      </main>
    );
  }
}

/** Where an error was thrown goes to the program's log; what it was about stays here. */
export async function tellOf(client: Client, error: unknown): Promise<void> {
  const { name, message, stack = "" } = error instanceof Error ? error : new Error(String(error));
  await client.diagnostics
    .windowFailed({ name: name.slice(0, 80), message: message.slice(0, 2000), stack: stack.slice(0, 8000) })
    // The program is gone too: there is nobody left to tell.
    .catch(() => undefined);
}
