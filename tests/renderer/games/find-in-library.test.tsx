import { useRef, useState } from "react";
import { expect, test } from "vitest";
import { render } from "vitest-browser-react";
import { FailureBoard } from "../../../src-renderer/app/failures.tsx";
import { type Service, ServiceContext } from "../../../src-renderer/app/service.tsx";
import { FindInLibrary } from "../../../src-renderer/games/find-in-library.tsx";

/** A service of which nothing but its finding is asked for: refused for one text, and empty for every other. */
const service = {
  client: {
    library: {
      find: ({ text }: { readonly text: string }) =>
        text === "flag"
          ? Promise.reject(new Error("The library could not be read."))
          : Promise.resolve({ found: [], more: false }),
    },
  },
} as unknown as Service;

function Place() {
  const [text, setText] = useState("");
  return <FindInLibrary field={useRef<HTMLInputElement>(null)} text={text} onText={setText} onGo={() => {}} />;
}

test("where the library cannot be looked through nothing goes on looking, and the next text is looked for", async () => {
  const screen = await render(
    <FailureBoard>
      <ServiceContext.Provider value={service}>
        <Place />
      </ServiceContext.Provider>
    </FailureBoard>,
  );
  const field = screen.getByRole("searchbox");
  await field.fill("flag");
  await expect.element(screen.getByText("The library could not be looked through.")).toBeVisible();
  await expect.element(screen.getByText("The library could not be read.")).toBeVisible();
  await expect.poll(() => screen.getByText("Looking…").elements().length).toBe(0);
  await field.fill("flags");
  await expect.element(screen.getByText(/^Nothing in the library has all of these words/u)).toBeVisible();
});
