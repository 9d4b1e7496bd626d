import type { ReactNode } from "react";

type ButtonProps = {
  readonly children: ReactNode;
  readonly onPress: () => void;
  readonly name?: string;
  readonly title?: string;
  readonly disabled?: boolean;
  readonly pressed?: boolean;
  readonly look?: "plain" | "primary" | "bare";
  /** The key that does the same, shown on the button. */
  readonly shortcut?: string;
};

export function Button({ children, onPress, name, title, disabled, pressed, look = "plain", shortcut }: ButtonProps) {
  return (
    <button
      type="button"
      className={`button ${look}`}
      onClick={onPress}
      aria-label={name}
      title={title}
      disabled={disabled}
      aria-pressed={pressed}
    >
      {children}
      {shortcut === undefined ? null : <kbd aria-hidden="true" data-key={shortcut} />}
    </button>
  );
}
