/** Hands a text to the browser as a file to keep: where it goes is the person's choice. */
export function saveText(name: string, text: string, type: string): void {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // The browser has taken the file over by then.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
