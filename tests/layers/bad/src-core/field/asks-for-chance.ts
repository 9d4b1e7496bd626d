// refused: eslint(no-restricted-properties)
export const chance = (): number => Math.random();
