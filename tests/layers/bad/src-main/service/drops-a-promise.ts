// refused: typescript(no-floating-promises)
async function write(): Promise<void> {}

export function save(): void {
  write();
}
