// refused: TS1294
export enum Side {
  Near,
  Far,
}
