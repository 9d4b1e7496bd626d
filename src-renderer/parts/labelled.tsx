import { type ReactNode, useEffect, useRef, useState } from "react";

export function Labelled({
  label,
  field,
  children,
}: {
  readonly label: string;
  /** A name by which a key of the place finds the field. */
  readonly field?: string | undefined;
  readonly children: ReactNode;
}) {
  return (
    <label className="field" data-field={field}>
      <span>{label}</span>
      {children}
    </label>
  );
}

export function Choice<T extends string>(props: {
  readonly label: string;
  readonly value: T;
  readonly options: readonly { readonly value: T; readonly name: string }[];
  readonly onChange: (value: T) => void;
}) {
  return (
    <Labelled label={props.label}>
      <select value={props.value} onChange={(event) => props.onChange(event.target.value as T)}>
        {props.options.map((option) => (
          <option key={option.value} value={option.value}>
            {option.name}
          </option>
        ))}
      </select>
    </Labelled>
  );
}

/**
 * A number with its unit in the label. What is typed is kept as typed until the field is left or Enter is pressed, and
 * then handed over once; anything that is not a number within the limits goes back to the last good value, and the limits
 * are said.
 */
export function NumberField(props: {
  readonly label: string;
  readonly value: number | null;
  readonly min: number;
  readonly max: number;
  readonly allowEmpty?: boolean;
  readonly field?: string;
  readonly onChange: (value: number | null) => void;
}) {
  const shown = props.value === null ? "" : rounded(props.value);
  const [typed, setTyped] = useState(shown);
  const [refused, setRefused] = useState<string | null>(null);
  const lastShown = useRef(shown);
  // Enter hands over what is typed, and leaving the field right after it must not do so again.
  const handed = useRef<string | null>(null);
  useEffect(() => {
    handed.current = null;
    if (lastShown.current !== shown) {
      lastShown.current = shown;
      setTyped(shown);
    }
  }, [shown]);
  const hand = () => {
    const trimmed = typed.trim();
    if (trimmed === shown || trimmed === handed.current) return;
    handed.current = trimmed;
    if (trimmed === "" && props.allowEmpty) return props.onChange(null);
    const number = Number(trimmed);
    if (trimmed === "" || !Number.isFinite(number) || number < props.min || number > props.max) {
      setTyped(shown);
      setRefused(trimmed);
    } else props.onChange(number);
  };
  return (
    <Labelled label={props.label} field={props.field}>
      <input
        inputMode="decimal"
        value={typed}
        onFocus={(event) => event.target.select()}
        onChange={(event) => {
          handed.current = null;
          setRefused(null);
          setTyped(event.target.value);
        }}
        onBlur={hand}
        onKeyDown={(event) => {
          if (event.key === "Enter") hand();
          if (event.key === "Escape") setTyped(shown);
        }}
      />
      {refused === null ? null : (
        <small className="contradiction" role="alert">
          {refused === "" ? "Nothing" : `“${refused}”`} is not a number from {rounded(props.min)} to{" "}
          {rounded(props.max)}.
        </small>
      )}
    </Labelled>
  );
}

const rounded = (value: number) => String(Math.round(value * 100) / 100);
