// refused: import(no-default-export)
export default function nameless(): void {}
