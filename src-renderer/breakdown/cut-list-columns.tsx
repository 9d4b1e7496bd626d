import type { Mapping } from "#core/cutlist/csv-list";
import type { CsvTable, Separator } from "#core/cutlist/csv-table";
import { listColumns, type ListedField } from "#core/cutlist/list-columns";
import { byClock, type TimeReading } from "#core/cutlist/list-times";
import { Choice, Labelled, NumberField } from "../parts/labelled.tsx";

const separatorNames: readonly { readonly value: Separator; readonly name: string }[] = [
  { value: ",", name: "comma" },
  { value: ";", name: "semicolon" },
  { value: "\t", name: "tab" },
];

/** Which column of the file is what: found by the headings, and to be said where they do not tell. */
export function CutListColumns(props: {
  readonly table: CsvTable;
  readonly mapping: Mapping;
  readonly times: TimeReading;
  readonly framesPerSec: number;
  readonly onSeparator: (separator: Separator) => void;
  readonly onMapping: (mapping: Mapping) => void;
  readonly onTimes: (times: TimeReading) => void;
}) {
  const { table, mapping, times, framesPerSec, onSeparator, onMapping, onTimes } = props;
  const map = (field: ListedField, column: string) => {
    const { [field]: _before, ...rest } = mapping;
    onMapping(column === "" ? rest : { ...rest, [field]: Number(column) });
  };
  const used = new Set(Object.values(mapping));
  const unused = table.headings.filter((name, index) => name !== "" && !used.has(index));
  return (
    <section aria-label="Columns of the file">
      <h3>Columns</h3>
      <div className="column-map">
        <Choice label="Cells are parted by" value={table.separator} options={separatorNames} onChange={onSeparator} />
        <Choice
          label="Times are"
          value={times.kind}
          options={[
            { value: "clock", name: "seconds or h:mm:ss" },
            { value: "frames", name: "frames of the film" },
          ]}
          onChange={(kind) => onTimes(kind === "clock" ? byClock : { kind, perSec: framesPerSec })}
        />
        {times.kind === "frames" ? (
          <NumberField
            label="Frames a second"
            value={times.perSec}
            min={1}
            max={1000}
            onChange={(perSec) => onTimes({ kind: "frames", perSec: perSec ?? framesPerSec })}
          />
        ) : null}
      </div>
      <div className="column-map">
        {listColumns.map(({ field, heading, holds }) => (
          <Labelled key={field} label={heading}>
            <select
              title={holds}
              value={mapping[field] === undefined ? "" : String(mapping[field])}
              onChange={(event) => map(field, event.target.value)}
            >
              <option value="">not in the file</option>
              {table.headings.map((name, index) => (
                <option key={index} value={index}>
                  {name === "" ? `column ${index + 1}` : name}
                </option>
              ))}
            </select>
          </Labelled>
        ))}
      </div>
      {unused.length > 0 ? <p className="soft">Not read: {unused.join(", ")}.</p> : null}
    </section>
  );
}
