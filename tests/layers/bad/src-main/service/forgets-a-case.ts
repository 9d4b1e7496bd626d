// refused: typescript(switch-exhaustiveness-check)
export function word(state: "open" | "closed"): string {
  switch (state) {
    case "open":
      return "open";
  }
  return "";
}
