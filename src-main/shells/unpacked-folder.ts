/**
 * Where a packaged program's files lie that are known by their place on the disk. Its folder is one archive, which only
 * Electron can look into, and which it would copy a film out of to read a part of it; a library keeps the film's path,
 * and whatever opens that library must find the film there. Unpackaged, it is the program's folder itself.
 */
export function unpackedFolder(programFolder: string): string {
  return programFolder.endsWith(".asar") ? `${programFolder}.unpacked` : programFolder;
}
