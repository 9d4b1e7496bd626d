const digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/** Bytes as base64 (RFC 4648, padded). */
export function base64Of(bytes: Uint8Array): string {
  const pieces: string[] = [];
  let piece = "";
  for (let i = 0; i < bytes.length; i += 3) {
    const [a, b, c] = [bytes[i]!, bytes[i + 1], bytes[i + 2]];
    const word = (a << 16) | ((b ?? 0) << 8) | (c ?? 0);
    piece += digits[word >> 18]! + digits[(word >> 12) & 63]!;
    piece += b === undefined ? "==" : digits[(word >> 6) & 63]! + (c === undefined ? "=" : digits[word & 63]!);
    // Joined in pieces: one string that grows by four letters at a time is slow to read afterwards.
    if (piece.length >= 65_536) {
      pieces.push(piece);
      piece = "";
    }
  }
  return pieces.join("") + piece;
}
