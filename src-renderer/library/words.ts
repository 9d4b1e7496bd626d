/** Bytes as a person reads them: 0.4 MB, 12 MB, 1.4 GB. */
export function sizeWords(bytes: number): string {
  const mb = bytes / 1e6;
  if (mb >= 1000) return `${(mb / 1000).toFixed(1)} GB`;
  return `${mb >= 10 ? Math.round(mb) : Math.max(0.1, mb).toFixed(1)} MB`;
}

/** A time here and now, as the system writes it; what cannot be read as one stays as it is. */
export function timeWords(iso: string): string {
  const at = new Date(iso);
  return Number.isNaN(at.getTime()) ? iso : at.toLocaleString(undefined, { dateStyle: "medium", timeStyle: "medium" });
}
