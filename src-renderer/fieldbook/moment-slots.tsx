import { stopsOf } from "#core/game/moment-proposals";
import { phaseNames } from "#core/game/words";
import { Button } from "../parts/button.tsx";
import type { Fieldbook } from "./use-fieldbook.ts";

/** The moments of the play in their order, with how many are marked in each, and an open slot where one is proposed. */
export function MomentSlots({
  fieldbook,
  onGo,
}: {
  readonly fieldbook: Fieldbook;
  /** To an instant of the play. */
  readonly onGo: (playSec: number) => void;
}) {
  const { records, play, moment } = fieldbook;
  if (!play) return null;
  const stops = stopsOf(records, play);
  if (stops.length === 0) {
    return <p className="soft">Say on the Breakdown or the Play page when the snap was: moments follow from it.</p>;
  }
  return (
    <nav className="moment-slots" aria-label="Moments of the play">
      <ol>
        {stops.map(({ playSec, phase, moment: there, because }) => {
          const count = records.marks.filter((mark) => mark.momentId === there?.id).length;
          return (
            <li key={there?.id ?? phase} className={there ? "" : "open"}>
              <Button
                look="bare"
                name={`${phaseNames[phase]}: ${there ? `${count} marked` : `open, ${because}`}`}
                pressed={there !== null && there.id === moment?.id}
                onPress={() => onGo(playSec)}
              >
                {phaseNames[phase]} <span className="soft">{there ? count : "open"}</span>
              </Button>
            </li>
          );
        })}
      </ol>
      <p className="soft">
        <kbd>⇧PgDn</kbd> goes to the next.
      </p>
    </nav>
  );
}
