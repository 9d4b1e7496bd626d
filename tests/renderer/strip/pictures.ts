import { codeOn } from "../film/code-on-canvas.ts";

/** Rejects when it did not come true in some ten seconds. */
export async function until(what: () => boolean): Promise<void> {
  for (let waited = 0; !what(); waited += 20) {
    if (waited > 8_000) throw new Error(`it never came: ${String(what)}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

/** The number burnt into the picture at an address, or null. */
export async function codeIn(address: string): Promise<number | null> {
  const image = new Image();
  image.src = address;
  await image.decode();
  const canvas = document.createElement("canvas");
  // As large as the code is read from.
  canvas.width = 640;
  canvas.height = Math.round((640 * image.naturalHeight) / image.naturalWidth);
  canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
  return codeOn(canvas);
}
