/** `npm run book-schema`: writes the JSON Schema of a book's file from the shapes that read it. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { bookJsonSchema } from "#core/mechanics/book-schema";
import { projectRoot } from "./helpers/launch.ts";

const path = join(projectRoot, "src-core", "mechanics", "book.schema.json");
writeFileSync(path, `${JSON.stringify(bookJsonSchema(), null, 2)}\n`);
console.log(path);
