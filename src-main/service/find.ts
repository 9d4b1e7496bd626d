import { setImmediate as turn } from "node:timers/promises";
import type { z } from "zod";
import type { foundShape } from "#core/contract/library-shapes";
import { wordsOf } from "#core/search/find-words";
import type { Library } from "../store/library.ts";

type Said = z.infer<typeof foundShape>;

/** More than a person reads through; whoever needs others says it more closely. */
const most = 200;

/** Looks the library through for words; rejects with the signal's reason. Others have their turn between the pieces. */
export async function findInLibrary(
  library: Library,
  text: string,
  signal?: AbortSignal,
): Promise<{ readonly found: Said[]; readonly more: boolean }> {
  const words = wordsOf(text);
  const found: Said[] = [];
  if (words.length === 0) return { found, more: false };
  const observerId = library.note("observer-id") ?? "";
  for (const piece of library.find({ words, observerId })) {
    for (const { excerpt, authorId, ...one } of piece)
      found.push({
        ...one,
        author: authorId === null || authorId === observerId ? null : library.observerName(authorId),
        text: excerpt.text,
        places: excerpt.places.map(([from, to]) => [from, to]),
      });
    if (found.length > most) return { found: found.slice(0, most), more: true };
    await turn();
    signal?.throwIfAborted();
  }
  return { found, more: false };
}
