import { setImmediate as nextTurn } from "node:timers/promises";
import type { z } from "zod";
import { shown, Unreadable } from "./archive.ts";

const newline = 0x0a;
/** How many lines are read before others have their turn. */
const linesAtOnce = 2000;
const utf8 = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });

/** The records of a file of JSON lines, each of the shape; throws Unreadable naming file, line and property. */
export async function jsonLines<T>(
  name: string,
  bytes: Buffer,
  shape: z.ZodType<T>,
  most: { readonly lines: number; readonly lineBytes: number },
  signal?: AbortSignal,
): Promise<T[]> {
  const records: T[] = [];
  let start = 0;
  while (start < bytes.length) {
    const line = records.length + 1;
    const at = `${name}, line ${line}`;
    if (line > most.lines) throw new Unreadable(`${name} has more lines than it may have`);
    const end = bytes.indexOf(newline, start);
    if (end < 0) throw new Unreadable(`${at} is cut off`);
    if (end - start > most.lineBytes) throw new Unreadable(`${at} is longer than it may be`);
    records.push(jsonOf(at, bytes.subarray(start, end), shape));
    start = end + 1;
    if (line % linesAtOnce === 0) {
      await nextTurn();
      signal?.throwIfAborted();
    }
  }
  return records;
}

/** One JSON text of the shape. */
export function jsonOf<T>(at: string, bytes: Uint8Array, shape: z.ZodType<T>): T {
  let value: unknown;
  try {
    const text = utf8.decode(bytes);
    value = JSON.parse(text);
    if (isSuspect(text)) refuseProto(value);
  } catch (error) {
    if (error instanceof Unreadable) throw new Unreadable(`${at} ${error.message}`);
    throw new Unreadable(`${at} is no JSON`);
  }
  const checked = shape.safeParse(value);
  if (checked.success) return checked.data;
  const issue = checked.error.issues[0];
  throw new Unreadable(
    `${at}: ${shown(`${(issue?.path ?? []).join(".")} ${issue?.message ?? "not as it should be"}`)}`,
  );
}

/** Whether a text could name the property, in letters or escaped. */
function isSuspect(text: string): boolean {
  return text.includes("__proto__") || /\\u00[567]/iu.test(text);
}

function refuseProto(value: unknown): void {
  if (typeof value !== "object" || value === null) return;
  if (Object.hasOwn(value, "__proto__")) throw new Unreadable("has a property that no record has");
  for (const item of Object.values(value)) refuseProto(item);
}
