// refused: TS2584
export const title = document.title;
