import { useState } from "react";
import { pointsOf, type Scale, scaleFault, scales, scalesToChoose, wordsFor } from "#core/grading/scales";
import { useFailuresHere } from "../app/failures.tsx";
import { useService } from "../app/service.tsx";
import { Button } from "../parts/button.tsx";
import { Choice, Labelled } from "../parts/labelled.tsx";
import { Slip } from "../parts/slip.tsx";

/** The scales of this library: shipped ones are copied, and a changed one is a new one, for grades may rest on the old. */
export function ScaleEditor({
  scale,
  onChoose,
  onClose,
}: {
  readonly scale: Scale;
  readonly onChoose: (id: string) => void;
  readonly onClose: () => void;
}) {
  const { settings, set } = useService();
  const { attempt, notice } = useFailuresHere();
  const [from, setFrom] = useState(scale);
  const isOwn = settings.scales.some((one) => one.scale.id === from.id);
  const [draft, setDraft] = useState(textOf(from, isOwn));
  const take = (next: Scale) => {
    setFrom(next);
    setDraft(
      textOf(
        next,
        settings.scales.some((one) => one.scale.id === next.id),
      ),
    );
  };
  const made = scaleOf(draft);
  const fault = scaleFault(made);
  const keep = async () => {
    const own = settings.scales.map((one) => (one.scale.id === from.id ? { ...one, retired: true } : one));
    const kept = await attempt(async () => {
      await set({ scales: [...own, { scale: made, retired: false }] });
      return true;
    });
    if (kept === null) return;
    onChoose(made.id);
    onClose();
  };
  const retire = async () => {
    const done = await attempt(async () => {
      await set({
        scales: settings.scales.map((one) => (one.scale.id === from.id ? { ...one, retired: true } : one)),
      });
      return true;
    });
    if (done !== null) take(scales[0]);
  };
  const field = (name: "name" | "least" | "most" | "step", label: string) => (
    <Labelled label={label}>
      <input
        value={draft[name]}
        maxLength={80}
        onChange={(event) => setDraft({ ...draft, [name]: event.target.value })}
      />
    </Labelled>
  );
  return (
    <Slip title="Scales" onClose={onClose}>
      <Choice
        label="Begin with"
        value={from.id}
        options={scalesToChoose(settings.scales).map(({ id, name }) => ({ value: id, name }))}
        onChange={(id) => {
          const next = scalesToChoose(settings.scales).find((one) => one.id === id);
          if (next) take(next);
        }}
      />
      {field("name", "Name")}
      <div className="three">
        {field("least", "Least")}
        {field("most", "Most")}
        {field("step", "Step")}
      </div>
      <Choice
        label="Best"
        value={draft.best}
        options={[
          { value: "most", name: "the most is best" },
          { value: "least", name: "the least is best" },
        ]}
        onChange={(best) => setDraft({ ...draft, best })}
      />
      <Labelled label="Words, a line each: points, then what they say">
        <textarea
          rows={5}
          value={draft.words}
          onChange={(event) => setDraft({ ...draft, words: event.target.value })}
        />
      </Labelled>
      <label className="check">
        <input
          type="checkbox"
          checked={draft.endsTakeReason}
          onChange={(event) => setDraft({ ...draft, endsTakeReason: event.target.checked })}
        />
        Both ends take a reason
      </label>
      {fault === null ? (
        <p className="soft" role="status">
          {pointsOf(made).length} points, from {made.least} to {made.most}.
        </p>
      ) : (
        <p className="contradiction" role="alert">
          {fault}
        </p>
      )}
      {notice}
      <div className="end">
        {isOwn ? <Button onPress={() => void retire()}>Retire this scale</Button> : null}
        <Button onPress={onClose}>Cancel</Button>
        <Button look="primary" disabled={fault !== null} onPress={() => void keep()}>
          Keep as {isOwn ? "a changed" : "an own"} scale
        </Button>
      </div>
    </Slip>
  );
}

type Draft = {
  readonly id: string;
  readonly name: string;
  readonly least: string;
  readonly most: string;
  readonly step: string;
  readonly best: "most" | "least";
  readonly words: string;
  readonly endsTakeReason: boolean;
};

function textOf(scale: Scale, isOwn: boolean): Draft {
  return {
    id: `scale-${crypto.randomUUID()}`,
    name: isOwn ? scale.name : `${scale.name}, own`,
    least: String(scale.least),
    most: String(scale.most),
    step: String(scale.step),
    best: scale.best,
    words: pointsOf(scale)
      .filter((points) => wordsFor(scale, points) !== "")
      .map((points) => `${points} ${wordsFor(scale, points)}`)
      .join("\n"),
    endsTakeReason: scale.reasonAt.length > 0,
  };
}

function scaleOf(draft: Draft): Scale {
  const number = (text: string) => (text.trim() === "" ? Number.NaN : Number(text.replace(",", ".")));
  const [least, most, step] = [number(draft.least), number(draft.most), number(draft.step)];
  return {
    id: draft.id,
    name: draft.name.trim(),
    least,
    most,
    step,
    best: draft.best,
    words: draft.words.split("\n").flatMap((line) => {
      const [, points, says] = /^\s*(-?[\d.]+)\s+(.+?)\s*$/u.exec(line) ?? [];
      return points === undefined || says === undefined ? [] : [{ points: Number(points), says }];
    }),
    reasonAt: draft.endsTakeReason ? [least, most] : [],
  };
}
