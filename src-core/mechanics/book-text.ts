/**
 * A book as the text of a file: one rule a paragraph, what belongs together on one line, so that a person can read it and
 * two versions differ where they differ.
 */
export function bookText(book: object): string {
  const entries = Object.entries(book);
  const lines = entries.map(([key, value], index) => {
    const end = index < entries.length - 1 ? "," : "";
    return `  ${JSON.stringify(key)}: ${isRuleList(value) ? ruleLines(value) : oneLine(value)}${end}`;
  });
  return `{\n${lines.join("\n")}\n}\n`;
}

const widest = 110;

function isRuleList(value: unknown): value is readonly object[] {
  return (
    Array.isArray(value) &&
    value.length > 0 &&
    value.every((item) => typeof item === "object" && item !== null && !Array.isArray(item))
  );
}

function ruleLines(rules: readonly object[]): string {
  const written = rules.map((rule) => {
    const line = oneLine(rule);
    if (line.length < widest || Object.keys(rule).length === 0) return `    ${line}`;
    const fields = Object.entries(rule).map(([key, value]) => `      ${JSON.stringify(key)}: ${oneLine(value)}`);
    return `    {\n${fields.join(",\n")}\n    }`;
  });
  return `[\n${written.join(",\n")}\n  ]`;
}

function oneLine(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(oneLine).join(", ")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value) ?? "null";
  const fields = Object.entries(value).map(([key, item]) => `${JSON.stringify(key)}: ${oneLine(item)}`);
  return fields.length === 0 ? "{}" : `{ ${fields.join(", ")} }`;
}
