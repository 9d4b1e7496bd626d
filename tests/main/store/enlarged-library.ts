import BetterSqlite3 from "better-sqlite3";

/**
 * Puts more of the same games into a closed library of schema 10, with all they own and their history, under ids of their own. Written
 * as rows, since no program of that schema is here any more.
 */
export function enlargeOfSchema10(path: string, times: number): void {
  const db = new BetterSqlite3(path, { fileMustExist: true });
  try {
    const ids = db.prepare<[], string>("SELECT id FROM game UNION SELECT id FROM film").pluck().all();
    const renamed = (text: string, number: number) => {
      // Every other id begins with the name of its game.
      const others = text.replaceAll(/\b(second|demo)-(play|moment|stake|mark)-/gu, `$1${number}-$2-`);
      return ids.reduce((all, id) => all.replaceAll(id, `${id}-${number}`), others);
    };
    db.transaction(() => {
      for (const table of ["game", "film", "play", "moment", "stake", "mark", "history"]) {
        const rows = db.prepare(`SELECT * FROM ${table}`).raw().all() as (string | number | null)[][];
        const insert = db.prepare(`INSERT INTO ${table} VALUES (${rows[0]!.map(() => "?").join(", ")})`);
        for (let number = 1; number < times; number += 1)
          for (const row of rows)
            insert.run(row.map((value) => (typeof value === "string" ? renamed(value, number) : value)));
      }
    })();
  } finally {
    db.close();
  }
}
