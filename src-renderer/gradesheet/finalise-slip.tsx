import { useState } from "react";
import { counted } from "#core/game/words";
import { useFailuresHere } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Choice, Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";
import type { GradeSheet } from "./use-grade-sheet.ts";

/** Finishing with a game is for good, so it is asked. */
export function FinaliseSlip({ sheet, onClose }: { readonly sheet: GradeSheet; readonly onClose: () => void }) {
  const { graded, of } = sheet.share;
  const rulings = sheet.records.rulings.length;
  return (
    <Slip title="Finalise the game" onClose={onClose}>
      <p>
        {graded} of {of} cells are graded
        {rulings > 0 ? `, and ${counted(rulings, "ruling is kept", "rulings are kept")}` : ""}.
      </p>
      <p>
        From then on the game stays as it was broken down, measured and graded, and this cannot be taken back. A grade
        can still be amended, with a reason; it then says everywhere that it was.
      </p>
      <div className="end">
        <Button onPress={onClose}>Not yet</Button>
        <Button
          look="primary"
          onPress={() => {
            sheet.finalise();
            onClose();
          }}
        >
          Finalise it
        </Button>
      </div>
    </Slip>
  );
}

/** Who keeps this library: the author of its grades. */
export function ObserverSlip({
  positions,
  onClose,
}: {
  readonly positions: readonly string[];
  readonly onClose: () => void;
}) {
  const { info, settings, set } = useService();
  const { attempt, notice } = useFailuresHere();
  const [name, setName] = useState(settings.observerName);
  const [own, setOwn] = useState(settings.ownPosition ?? "");
  const keep = async () => {
    const done = await attempt(async () => {
      await set({ observerName: name.trim(), ownPosition: own === "" ? null : own });
      return true;
    });
    if (done !== null) onClose();
  };
  const all = own === "" || positions.includes(own) ? positions : [own, ...positions];
  return (
    <Slip title="Observer" onClose={onClose}>
      <Labelled label="Your name, as pages carry it where you let them">
        <input value={name} maxLength={80} onChange={(event) => setName(event.target.value)} />
      </Labelled>
      <Choice
        label="Whose film this library is for"
        value={own}
        options={[
          { value: "", name: "I observe others" },
          ...all.map((position) => ({ value: position, name: `I work as ${position} and review my own film` })),
        ]}
        onChange={setOwn}
      />
      <p className="soft">
        Grades of this library carry the identity {info.observerId.slice(0, 8)}, whatever the name. It stays on this
        machine unless you export it.
      </p>
      {notice}
      <div className="end">
        <Button onPress={onClose}>Cancel</Button>
        <Button look="primary" disabled={info.readOnly} onPress={() => void keep()}>
          Keep
        </Button>
      </div>
    </Slip>
  );
}
