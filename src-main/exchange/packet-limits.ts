export type PacketLimits = {
  readonly fileBytes: number;
  readonly partBytes: number;
  readonly totalBytes: number;
  readonly ratio: number;
  readonly ratioFromBytes: number;
  readonly manifestBytes: number;
  readonly lineBytes: { readonly [part in "books" | "carries" | "versions" | "other"]: number };
  readonly lines: number;
};

/**
 * What a packet may be at most. A game of 10,000 grades with all its measurements takes some 25 MB inside and 2 MB outside;
 * carried surveys are the large part, up to 400 kB each.
 */
export const packetLimits: PacketLimits = {
  fileBytes: 192 * 1024 * 1024,
  partBytes: 128 * 1024 * 1024,
  totalBytes: 256 * 1024 * 1024,
  /** How much larger than in the archive, for what exceeds a mebibyte: JSON lines of the same make come to 30 times. */
  ratio: 200,
  ratioFromBytes: 1024 * 1024,
  manifestBytes: 256 * 1024,
  /** The longest line is a book: two million characters, each six as JSON writes the worst of them. */
  lineBytes: { books: 12_100_000, carries: 500_000, versions: 300_000, other: 120_000 },
  lines: 1_000_000,
};
