const mostLetters = 100;

/**
 * A text as the name of a file or folder that every system takes: no character that one of them keeps for itself, no dot
 * or space at its end, and none of the names that Windows keeps for devices (Win32, "Naming Files, Paths, and Namespaces").
 */
export function fileName(text: string): string {
  const plain = text
    .normalize("NFC")
    .replaceAll(/[<>:"/\\|?*\p{Cc}\p{Cf}]/gu, " ")
    .slice(0, mostLetters)
    .toWellFormed()
    .replaceAll(/[\s\uFFFD]+/gu, " ")
    .replaceAll(/^[\s.]+|[\s.]+$/gu, "");
  const isDevice = /^(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)/iu.test(plain);
  return plain === "" ? "unnamed" : isDevice ? `_${plain}` : plain;
}
