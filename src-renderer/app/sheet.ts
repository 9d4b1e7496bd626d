/** The paper: light for the day, dark for night work, or whatever the system asks for. Kept for this machine only. */
export type Sheet = "system" | "light" | "dark";

const key = "crewglass.sheet";

export function storedSheet(): Sheet {
  const stored = localStorage.getItem(key);
  return stored === "light" || stored === "dark" ? stored : "system";
}

const systemDark = matchMedia("(prefers-color-scheme: dark)");
let chosen: Sheet = "system";
systemDark.addEventListener("change", () => paint());

function paint(): void {
  document.documentElement.dataset["sheet"] = isDark(chosen) ? "dark" : "light";
}

export function isDark(sheet: Sheet): boolean {
  return sheet === "dark" || (sheet === "system" && systemDark.matches);
}

export function applySheet(sheet: Sheet): void {
  chosen = sheet;
  if (sheet === "system") localStorage.removeItem(key);
  else localStorage.setItem(key, sheet);
  paint();
}
