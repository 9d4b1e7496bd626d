/** What a person can hand on about a failure: what it was, when, and in what. */
let version = "";

/** Said once, as soon as the program has told its version. */
export function knowVersion(told: string): void {
  version = told;
}

export type FailureWords = { readonly code: string; readonly message: string; readonly command?: string | null };

export function detailsOf({ code, message, command }: FailureWords): string {
  const browser = /(?:Electron|Edg|Chrome)\/[\d.]+/u.exec(navigator.userAgent)?.[0] ?? "unknown";
  return [
    `${code}: ${message}`,
    ...(command == null ? [] : [command]),
    `Crewglass ${version || "(version not known yet)"}, ${browser}, ${navigator.platform}, ${new Date().toISOString()}`,
  ].join("\n");
}
