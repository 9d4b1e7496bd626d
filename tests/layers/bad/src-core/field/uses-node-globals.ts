// refused: TS2591
export const home = process.cwd();
