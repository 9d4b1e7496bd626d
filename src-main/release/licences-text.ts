import { licencesOf } from "./licence-rules.ts";
import type { Shipped, ShippedComponent } from "./shipped-components.ts";

const rule = "=".repeat(78);

/**
 * The licences of everything that ships, each with its text, as one plain file. MPL-2.0 asks of a program that holds
 * unchanged files under it that whoever gets the program is told where the source of those files is (its section 3.2);
 * only somebody who changes such a file must give out the changed one under the same licence.
 */
export function licencesText({ program, components }: Shipped): string {
  const head = [
    `Crewglass ${program.version} is under the licence ${program.licence}: see LICENSE.crewglass.txt.`,
    "",
    "What others wrote and what is in it follows, each with its licence. The packaged program runs in Electron, which",
    "holds Chromium and Node.js: their licences are in LICENSE.electron.txt and LICENSES.chromium.html, which come with it.",
    "",
    ...components.map((each) => `  ${each.name} ${each.version}: ${each.licence}`),
  ];
  return `${[...head, ...components.flatMap(entry)].join("\n")}\n`;
}

function entry(component: ShippedComponent): readonly string[] {
  const { name, version, licence, licenceText, where } = component;
  return ["", rule, `${name} ${version}`, `Licence: ${licence}`, `In: ${where}`, ...source(component), "", licenceText];
}

function source({ name, version, purl, licence }: ShippedComponent): readonly string[] {
  if (!purl.startsWith("pkg:npm/")) return [];
  const page = `https://www.npmjs.com/package/${name}/v/${version}`;
  const unchanged = licencesOf(licence).includes("MPL-2.0")
    ? [
        "Its files are in the program unchanged but for bundling; their source, under the same licence, is at that address.",
      ]
    : [];
  return [`Source: ${page}`, ...unchanged];
}
