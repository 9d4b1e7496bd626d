/**
 * Takes down, while the program is built, which modules stand in its bundles, and writes beside them whose they are:
 * `licences.txt` and `sbom.cdx.json`. It goes by what each chunk holds, so that a package that is only installed, or
 * that the bundler leaves out, is not listed, and one that came in by another package is.
 */
import { writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import type { Plugin } from "vite";
import { billOfMaterials } from "./bill-of-materials.ts";
import { licencesText } from "./licences-text.ts";
import { packageFolderOf, shippedComponents } from "./shipped-components.ts";

export type BundlePart = "main" | "preload" | "renderer" | "worker";

export type ShippedModules = {
  /** Notes the modules of the bundles of a part. Workers are bundles of their own: the part that has them notes both. */
  readonly note: (part: BundlePart) => Plugin;
  /** For the part that is built last: writes both files into the folder above that part's. Fails the build on a fault. */
  readonly write: () => Plugin;
};

/** `root` is the folder of package.json. */
export function shippedModules(root: string): ShippedModules {
  /** Folders of packages below `root`, each with the parts it is in. */
  const folders = new Map<string, Set<BundlePart>>();
  const noted = new Set<BundlePart>();

  const note = (part: BundlePart): Plugin => ({
    name: "crewglass:note-modules",
    apply: "build",
    generateBundle(_options, bundle) {
      noted.add(part);
      for (const chunk of Object.values(bundle)) {
        if (chunk.type !== "chunk") continue;
        for (const id of Object.keys(chunk.modules)) {
          const folder = packageFolderOf(id, root);
          if (folder !== null) folders.set(folder, (folders.get(folder) ?? new Set()).add(part));
        }
      }
    },
  });

  const write = (): Plugin => ({
    name: "crewglass:write-shipped",
    apply: "build",
    writeBundle({ dir }) {
      if (!noted.has("main")) throw new Error("The window was built alone: what ships is not known without the rest.");
      if (dir === undefined) throw new Error("The bundle is written into no folder.");
      const shipped = shippedComponents(root, folders);
      const out = dirname(dir);
      writeFileSync(join(out, "licences.txt"), licencesText(shipped));
      writeFileSync(join(out, "sbom.cdx.json"), billOfMaterials(shipped));
    },
  });

  return { note, write };
}
