import type { Vector3 } from "./pinhole.ts";
import { add, up } from "./limbs.ts";
import { linear, type Body, type Cloth } from "./solids.ts";

/** What is not a person: the ball and the sideline cones. */

/** A ball, 11 in long, lying or flying along `along`. */
export function ballBody(centre: Vector3, along: Vector3): Body {
  const leather: Cloth = { kind: "plain", colour: linear("#7a3b1e") };
  const lace: Cloth = { kind: "plain", colour: linear("#efe6d6") };
  const end = 0.082;
  return {
    id: "ball",
    solids: [
      { a: centre, b: add(centre, along, end), ra: 0.094, rb: 0.04, cloth: leather },
      { a: centre, b: add(centre, along, -end), ra: 0.094, rb: 0.04, cloth: leather },
      {
        a: add(add(centre, up, 0.083), along, 0.03),
        b: add(add(centre, up, 0.083), along, -0.03),
        ra: 0.018,
        rb: 0.018,
        cloth: lace,
      },
    ],
    contacts: centre[2] < 0.2 ? [{ xYards: centre[0], yYards: centre[1] }] : [],
  };
}

export function coneBody(id: string, xYards: number, yYards: number): Body {
  const orange: Cloth = { kind: "plain", colour: linear("#ff7a1a") };
  return {
    id,
    solids: [
      {
        a: [xYards, yYards, 0.03],
        b: [xYards, yYards, 0.24],
        ra: 0.1,
        rb: 0.03,
        cloth: { kind: "split", colour: linear("#ff7a1a"), beyond: linear("#fff3e4"), at: 0.62 },
      },
      { a: [xYards - 0.1, yYards, 0.02], b: [xYards + 0.1, yYards, 0.02], ra: 0.035, rb: 0.035, cloth: orange },
      { a: [xYards, yYards - 0.1, 0.02], b: [xYards, yYards + 0.1, 0.02], ra: 0.035, rb: 0.035, cloth: orange },
    ],
    contacts: [],
  };
}
