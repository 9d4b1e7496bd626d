/**
 * What stands on pages of paper, as items one under the other, each of a height known before it is drawn; and the placing of
 * them, which begins a page where the next will not fit.
 */
export type Item = {
  readonly heightPt: number;
  /** Space above, left out at the top of a page. */
  readonly gapPt: number;
  /** Stands on the page of the item after it. */
  readonly keeps: boolean;
  /** `gapPt` is the space that was left above. */
  readonly draw: (at: { readonly topPt: number; readonly gapPt: number }) => void;
  /** Repeated when a page begins with this item. */
  readonly head?: { readonly heightPt: number; readonly draw: (topPt: number) => void };
};

export type Sheet = { readonly topPt: number; readonly bottomPt: number; readonly beginPage: () => void };

/**
 * Places items in turn. Those kept together that would not fit on a whole page are kept only each with the next. Yields after
 * every item, so that whoever draws can let others work in between.
 */
export function* place(items: readonly Item[], sheet: Sheet): Generator<number, void, undefined> {
  const roomPt = sheet.bottomPt - sheet.topPt;
  const wholes = keptHeights(items, roomPt);
  let yPt = sheet.topPt;
  for (const [i, item] of items.entries()) {
    const isAtTop = yPt === sheet.topPt;
    if (!isAtTop && yPt + item.gapPt + wholes[i]! > sheet.bottomPt + 0.01) {
      sheet.beginPage();
      yPt = sheet.topPt;
      if (item.head) {
        item.head.draw(yPt);
        yPt += item.head.heightPt;
      }
    }
    const gapPt = yPt === sheet.topPt ? 0 : item.gapPt;
    item.draw({ topPt: yPt + gapPt, gapPt });
    yPt += gapPt + item.heightPt;
    yield i;
  }
}

/** The height that must be left for each item: its own and that of all it is kept with, as far as a page can hold them. */
function keptHeights(items: readonly Item[], roomPt: number): number[] {
  const heights: number[] = [];
  let following = 0;
  for (let i = items.length - 1; i >= 0; i--) {
    const item = items[i]!;
    const next = items[i + 1];
    let height = item.heightPt;
    if (item.keeps && next) {
      const whole = height + next.gapPt + following;
      const pair = height + next.gapPt + next.heightPt;
      height = whole <= roomPt ? whole : pair <= roomPt ? pair : height;
    }
    heights[i] = height;
    following = height;
  }
  return heights;
}
