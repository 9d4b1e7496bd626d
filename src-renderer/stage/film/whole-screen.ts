/** Gives the film and its controls the whole screen, or takes it back. Refused where the system does not let it. */
export async function toggleWholeScreen(part: Element | null): Promise<void> {
  if (document.fullscreenElement) await document.exitFullscreen();
  else await part?.requestFullscreen();
}
