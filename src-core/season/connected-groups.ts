/** Observers and officials that grades tie together, directly or through others; by their levels, ascending. */
export type ConnectedGroup = {
  readonly name: string;
  readonly officials: readonly number[];
  readonly observers: readonly number[];
};

/**
 * The connected components of the graph that has an edge wherever an observer graded an official. Between two groups no
 * official was seen by observers of both: an observer's severity and the quality of whom they saw cannot be told apart
 * there, whatever games they share. Named in the order of their first official.
 */
export function connectedGroups(
  officials: { readonly levelOf: Int32Array; readonly levels: number },
  observers: { readonly levelOf: Int32Array; readonly levels: number },
): ConnectedGroup[] {
  const parent = Int32Array.from({ length: officials.levels + observers.levels }, (_, node) => node);
  const rootOf = (node: number): number => {
    let root = node;
    while (parent[root] !== root) root = parent[root]!;
    for (let at = node; at !== root;) {
      const next = parent[at]!;
      parent[at] = root;
      at = next;
    }
    return root;
  };
  for (let row = 0; row < officials.levelOf.length; row++) {
    const official = rootOf(officials.levelOf[row]!);
    const observer = rootOf(officials.levels + observers.levelOf[row]!);
    if (official !== observer) parent[Math.max(official, observer)] = Math.min(official, observer);
  }
  const groups = new Map<number, { officials: number[]; observers: number[] }>();
  for (let node = 0; node < parent.length; node++) {
    const root = rootOf(node);
    let group = groups.get(root);
    if (!group) groups.set(root, (group = { officials: [], observers: [] }));
    if (node < officials.levels) group.officials.push(node);
    else group.observers.push(node - officials.levels);
  }
  return [...groups.values()].map((group, index) => ({ name: `group ${index + 1}`, ...group }));
}
