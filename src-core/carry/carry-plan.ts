/** One surveyed frame and the frames its survey is to be carried to, ends included; an empty side ends at the anchor. */
export type CarryLeg = { readonly anchorIndex: number; readonly firstIndex: number; readonly lastIndex: number };

/**
 * Who carries where in a range of frames: between two anchors both carry over the whole gap, outside them the nearest
 * does. Anchors outside the range are left out, and one named twice counts once.
 */
export function planCarry(firstIndex: number, lastIndex: number, anchorIndices: readonly number[]): CarryLeg[] {
  const anchors = [...new Set(anchorIndices)]
    .filter((anchor) => anchor >= firstIndex && anchor <= lastIndex)
    .sort((a, b) => a - b);
  return anchors.map((anchorIndex, i) => {
    const before = anchors[i - 1];
    const after = anchors[i + 1];
    return {
      anchorIndex,
      firstIndex: before === undefined ? firstIndex : before + 1,
      lastIndex: after === undefined ? lastIndex : after - 1,
    };
  });
}
