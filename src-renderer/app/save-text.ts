/** Hands a text to the browser as a file to keep: where it goes is the person's choice. */
export function saveText(name: string, text: string, type: string): void {
  save(name, new Blob([text], { type }));
}

export function saveBytes(name: string, bytes: Uint8Array<ArrayBuffer>, type: string): void {
  save(name, new Blob([bytes], { type }));
}

function save(name: string, file: Blob): void {
  const address = URL.createObjectURL(file);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken the file over by then.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
