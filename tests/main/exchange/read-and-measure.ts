/** A program of its own: reads the packet it is given and prints the answer, the time, and the memory it took at its highest. */
import { readPacket } from "../../../src-main/exchange/read-packet.ts";

const path = process.argv[2] ?? "";
const beforeKib = process.resourceUsage().maxRSS;
const startMs = performance.now();
const read = await readPacket(path);
const tookMs = performance.now() - startMs;
const moreMib = (process.resourceUsage().maxRSS - beforeKib) / 1024;
console.log(JSON.stringify({ ok: read.ok, sentence: read.ok ? "" : read.sentence, tookMs, moreMib }));
