// refused: eslint(no-restricted-globals)
export const nowMs = (): number => Date.now();
