import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-react";
import type { Client } from "../../../src-renderer/app/client.ts";
import { Fallen } from "../../../src-renderer/app/fallen.tsx";

test("a place that cannot be drawn leaves words, details, and a way to draw it again; the program is told where", async () => {
  const told: { name: string; message: string; stack: string }[] = [];
  const client = {
    diagnostics: { windowFailed: async (words: (typeof told)[number]) => void told.push(words) },
  } as unknown as Client;
  // React says an error it was given to the console as well.
  const silent = vi.spyOn(console, "error").mockImplementation(() => {});
  let isBroken = true;
  const Place = () => {
    if (isBroken) throw new RangeError("Invalid array length");
    return <p>The place</p>;
  };
  let again = 0;
  const screen = await render(
    <Fallen client={client} onAgain={() => (again += 1)}>
      <Place />
    </Fallen>,
  );
  await expect
    .element(screen.getByRole("alert").getByText(/Everything that was shown as saved is saved/u))
    .toBeVisible();
  await expect.element(screen.getByRole("button", { name: "Copy details" })).toBeVisible();
  expect(told).toHaveLength(1);
  expect(told[0]).toMatchObject({ name: "RangeError", message: "Invalid array length" });
  expect(told[0]?.stack).toContain("fallen.test.tsx");
  isBroken = false;
  await screen.getByRole("button", { name: "Draw it again" }).click();
  await expect.element(screen.getByText("The place")).toBeVisible();
  expect(again).toBe(1);
  silent.mockRestore();
});
