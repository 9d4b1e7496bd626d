export const button = document.title;
