/** A page without script for what must be said when the window itself cannot be shown. */
const marks: Readonly<Record<string, string>> = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" };

const escaped = (text: string): string => text.replaceAll(/[&<>"']/gu, (mark) => marks[mark] ?? "");

export function plainPage(title: string, sentences: readonly string[]): string {
  const body = sentences.map((sentence) => `<p>${escaped(sentence)}</p>`).join("\n");
  return `<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><meta name="color-scheme" content="light dark"><title>${escaped(title)}</title></head>
<body>
<h1>${escaped(title)}</h1>
${body}
</body>
</html>
`;
}
