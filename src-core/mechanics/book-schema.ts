import { z } from "zod";
import { bookFileShape } from "./book-shape.ts";

/**
 * What a file of a book may hold, as JSON Schema draft 2020-12: for editors and for other programs. It knows every field by
 * itself; what rules say of each other, and what a base must have, is only found by reading the book.
 */
export function bookJsonSchema(): object {
  return {
    title: "Crewglass mechanics book, format version 2",
    description:
      "A crew’s rules as data: stations, facings, keys, zones, handoffs, looks, counts and duties. Yards, seconds, degrees.",
    ...z.toJSONSchema(bookFileShape, { target: "draft-2020-12" }),
  };
}
