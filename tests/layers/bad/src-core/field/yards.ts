export const yards = 1;
