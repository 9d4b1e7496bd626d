import { useEffect, useId, useState } from "react";
import { rulePath, ruleValue, withRuleValue } from "#core/mechanics/edit-rule";
import type { FoundRule } from "#core/picture/rule-picture";
import type { OpenBook } from "./use-books.ts";
import { type EditField, editFields, ruleRows, sourceWords } from "./words.ts";

/** One rule as the book holds it; of one's own book, with what can be changed here. */
export function RuleSheet(props: {
  readonly found: FoundRule;
  readonly open: OpenBook;
  readonly editable: boolean;
  readonly onType: (text: string) => void;
}) {
  const { found, editable } = props;
  const { rule } = found;
  return (
    <section className="rule-sheet" aria-label={`Rule ${rule.id}`}>
      <h2>
        <span className="rule-id">{rule.id}</span>
      </h2>
      <p className="asks">
        {"position" in rule ? `${rule.position}: ` : ""}
        {rule.sentence}
      </p>
      <table className="rule-rows">
        <tbody>
          {[...ruleRows(found), ["Source", sourceWords(rule.source)] as const].map(([name, value]) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{value}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {editable ? (
        <fieldset className="rule-fields">
          <legend>Change it</legend>
          {editFields(found).map((field) => (
            <RuleField key={`${rule.id} ${field.path}`} field={field} {...props} />
          ))}
        </fieldset>
      ) : null}
    </section>
  );
}

function RuleField(props: {
  readonly field: EditField;
  readonly found: FoundRule;
  readonly open: OpenBook;
  readonly onType: (text: string) => void;
}) {
  const { field, found, open } = props;
  const { id } = found.rule;
  const described = useId();
  const kept = ruleValue(open.text, id, field.path) ?? valueAt(found.rule, field.path);
  const shown = typeof kept === "string" || typeof kept === "number" ? String(kept) : "";
  const [typed, setTyped] = useState(shown);
  // A change that comes from elsewhere, as from the text of the file, is shown; one's own typing stays as it is typed.
  useEffect(() => {
    setTyped((before) => (valueOf(field, before) === valueOf(field, shown) ? before : shown));
  }, [field, shown]);
  const path = rulePath(open.text, id);
  const here = path === null ? null : `${path}.${field.path}`;
  const fault = open.fault !== null && here !== null && isWithin(open.fault.path, here) ? open.fault : null;
  const change = (next: string) => {
    setTyped(next);
    const whole = open.book;
    const text = whole && withRuleValue(open.text, whole, id, field.path, valueOf(field, next));
    if (text) props.onType(text);
  };
  const input = {
    value: typed,
    "aria-invalid": fault !== null,
    "aria-describedby": fault === null ? undefined : described,
  };
  return (
    <div className={`rule-field ${field.kind}`}>
      <label className="field">
        <span>{field.label}</span>
        {field.kind === "text" ? (
          <textarea rows={2} {...input} onChange={(event) => change(event.target.value)} />
        ) : (
          <input inputMode="decimal" {...input} onChange={(event) => change(event.target.value)} />
        )}
      </label>
      {fault ? (
        <span className="wrong" id={described}>
          {fault.message}
        </span>
      ) : null}
    </div>
  );
}

/** A number where one is typed; otherwise the words, for the reading of the book to refuse. */
function valueOf({ kind }: EditField, typed: string): string | number {
  const number = Number(typed.trim().replace("−", "-"));
  return kind === "number" && typed.trim() !== "" && Number.isFinite(number) ? number : typed;
}

/** Whether a fault lies at a field, or at the range that the field is an end of. */
function isWithin(faultPath: string, fieldPath: string): boolean {
  return (
    faultPath === fieldPath || (/\.(from|to|none|full)$/u.test(fieldPath) && fieldPath.startsWith(`${faultPath}.`))
  );
}

function valueAt(rule: object, path: string): unknown {
  let value: unknown = rule;
  for (const key of path.split(".")) {
    if (typeof value !== "object" || value === null) return undefined;
    value = (value as Record<string, unknown>)[key];
  }
  return value;
}
