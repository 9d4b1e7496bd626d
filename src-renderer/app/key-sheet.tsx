import { Button } from "../parts/button.tsx";
import { Slip } from "../parts/slip.tsx";
import { showFirstGame } from "./first-game.tsx";
import { keyRows } from "./keys.ts";

/** Every key in one place; the same rows are what the window listens to. */
export function KeySheet({ onClose }: { readonly onClose: () => void }) {
  const groups = [...new Set(keyRows.map((row) => row.group))];
  return (
    <Slip title="Keys" onClose={onClose}>
      <div className="key-columns">
        {groups.map((group) => (
          <section key={group}>
            <h3>{group}</h3>
            <table className="keys">
              <tbody>
                {keyRows
                  .filter((row) => row.group === group)
                  .map((row) => (
                    <tr key={row.does}>
                      <th scope="row">
                        {row.shown.map((key) => (
                          <kbd key={key}>{key}</kbd>
                        ))}
                      </th>
                      <td>{row.does}</td>
                    </tr>
                  ))}
              </tbody>
            </table>
          </section>
        ))}
      </div>
      <div className="end">
        <Button
          onPress={() => {
            showFirstGame(true);
            onClose();
          }}
        >
          Show the guide to a first game
        </Button>
        <Button look="primary" onPress={onClose}>
          Close
        </Button>
      </div>
    </Slip>
  );
}
