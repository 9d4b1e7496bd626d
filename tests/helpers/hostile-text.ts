/** Markup, script and odd letters in every text that a shape lets a person set, found by walking the shape. */
import type { z } from "zod";
import { boundsOf, insideOf } from "./of-shape.ts";

/** What would set `__hit` wherever one of them ran, or ask `leak` for something wherever one was taken for markup. */
export function hostileTextsFor(leak: string): readonly string[] {
  return [
    `<img src=x onerror=window.__hit=1>`,
    `"><svg onload=window.__hit=1>`,
    `</script><script>window.__hit=1</script>`,
    `javascript:window.__hit=1`,
    `' autofocus onfocus=window.__hit=1 x='`,
    `<img src=${leak}>`,
    "${window.__hit=1}{{window.__hit=1}}",
    `\u202E<b onclick=window.__hit=1>gnp</b>`,
    `<a href="javascript:window.__hit=1">x</a>`,
    `a\0<iframe srcdoc="<script>top.__hit=1</script>">`,
    `--><style>@import '${leak}';</style>`,
  ];
}

/** Names that stand for things outside the library, and must go on doing so. */
const kept = new Set(["path", "watchedFolder", "landmarkId", "lineId"]);

export type Filled<T> = { readonly value: T; readonly fields: readonly string[] };

/** The value with hostile text in each of its free texts, as much as fits there; `fields` says where. */
export function withHostileText<T>(shape: z.ZodType, value: T, texts: readonly string[]): Filled<T> {
  const fields: string[] = [];
  const whole = texts.join("");
  const walk = (at: z.ZodType, part: unknown, path: readonly string[]): unknown => {
    const inside = insideOf(at);
    if (part === null || part === undefined) return part;
    switch (inside.type) {
      case "nullable":
      case "optional":
      case "readonly":
      case "default":
        return walk(inside.innerType!, part, path);
      case "array":
        return (part as unknown[]).map((item, index) => walk(inside.element!, item, [...path, String(index)]));
      case "union": {
        const option = inside.options!.find((one) => one.safeParse(part).success);
        return option === undefined ? part : walk(option, part, path);
      }
      case "object":
        return Object.fromEntries(
          Object.entries(part).map(([key, item]) => {
            const of = inside.shape?.[key];
            return [key, of === undefined || kept.has(key) ? item : walk(of, item, [...path, key])];
          }),
        );
      case "string":
        return textFor(at, part as string, path);
      default:
        return part;
    }
  };
  const textFor = (at: z.ZodType, part: string, path: readonly string[]): string => {
    const { pattern, most = 200 } = boundsOf(at);
    if (insideOf(at).format !== undefined || (pattern !== undefined && pattern.source !== String.raw`\S`)) return part;
    fields.push(path.join("."));
    const own = ` ${fields.length}`;
    const one = most > whole.length + 10 ? whole : (texts[fields.length % texts.length] ?? "");
    const long = most >= 2000 && fields.length % 5 === 0 ? one.repeat(40).slice(0, Math.min(most - 10, 10_000)) : one;
    return `${long.slice(0, most - own.length).toWellFormed()}${own}`;
  };
  return { value: walk(shape, value, []) as T, fields };
}
