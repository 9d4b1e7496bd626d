/**
 * A small seeded generator, so that sampling is part of the input and the same seed gives the same bytes everywhere.
 *
 * State update: sfc32 (Chris Doty-Humphrey's small fast counting generator), 32-bit integer arithmetic only, seeded
 * through splitmix32. Normals by Box and Muller, both of each pair used.
 */
export type Random = {
  /** In [0, 1), 53 random bits. */
  readonly uniform: () => number;
  /** Mean 0, standard deviation 1. */
  readonly normal: () => number;
  /** A whole number in [0, below). */
  readonly below: (below: number) => number;
};

export function seededRandom(seed: number): Random {
  let mixer = seed | 0;
  const mix = (): number => {
    mixer = (mixer + 0x9e3779b9) | 0;
    let z = mixer;
    z = Math.imul(z ^ (z >>> 16), 0x21f0aaad);
    z = Math.imul(z ^ (z >>> 15), 0x735a2d97);
    return z ^ (z >>> 15);
  };
  let a = mix();
  let b = mix();
  let c = mix();
  let counter = 1;
  const next = (): number => {
    const out = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + out;
    c |= 0;
    return out >>> 0;
  };
  for (let i = 0; i < 12; i++) next();

  const uniform = (): number => ((next() >>> 5) * 67108864 + (next() >>> 6)) / 9007199254740992;
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { uniform, normal, below: (below) => Math.floor(uniform() * below) };
}

/** `count` pairs of independent normals, laid out z0, z1, z0, z1, …, as `sampleMark` takes them. */
export function normalPairs(random: Random, count: number): Float64Array {
  const normals = new Float64Array(2 * count);
  for (let i = 0; i < normals.length; i++) normals[i] = random.normal();
  return normals;
}
