import { useState } from "react";
import { expect, test } from "vitest";
import { render } from "vitest-browser-react";
import { FailureBoard, useFailures } from "../../../src-renderer/app/failures.tsx";
import { Button } from "../../../src-renderer/parts/button.tsx";
import { Slip } from "../../../src-renderer/parts/slip.tsx";

function Place() {
  const { attempt } = useFailures();
  const [isOpen, setIsOpen] = useState(true);
  const fail = () => void attempt(() => Promise.reject(new Error("The disk is full.")));
  return isOpen ? (
    <Slip title="Films" onClose={() => setIsOpen(false)}>
      <Button onPress={fail}>Rename</Button>
      <Button onPress={() => setIsOpen(false)}>Done</Button>
    </Slip>
  ) : (
    <p>The place</p>
  );
}

test("a failure while a dialog is open can be read, copied and put away there, and outlives the dialog", async () => {
  const screen = await render(
    <FailureBoard>
      <Place />
    </FailureBoard>,
  );
  await screen.getByRole("button", { name: "Rename" }).click();
  const notice = screen.getByRole("dialog").getByText("The disk is full.");
  await expect.element(notice).toBeVisible();
  await expect.element(screen.getByRole("button", { name: "Copy details" })).toBeVisible();
  await screen.getByRole("button", { name: "Done" }).click();
  await expect.element(screen.getByText("The place")).toBeVisible();
  await expect.element(screen.getByText("The disk is full.")).toBeVisible();
  await screen.getByRole("button", { name: "Dismiss" }).click();
  await expect.poll(() => screen.getByText("The disk is full.").elements().length).toBe(0);
});

test("a notice is put away inside the dialog that it came up in", async () => {
  const screen = await render(
    <FailureBoard>
      <Place />
    </FailureBoard>,
  );
  await screen.getByRole("button", { name: "Rename" }).click();
  await screen.getByRole("button", { name: "Dismiss" }).click();
  await expect.poll(() => screen.getByText("The disk is full.").elements().length).toBe(0);
  await expect.element(screen.getByRole("button", { name: "Rename" })).toBeVisible();
});
