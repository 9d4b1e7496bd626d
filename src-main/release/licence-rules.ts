/** Which licences a part of the program may have, and what is known of those that do not say it plainly themselves. */

/**
 * SPDX identifiers of licences that ask for no more than their text, their notices or (MPL-2.0) the source of their own
 * files as they stand: see `licencesText`.
 */
export const allowedLicences: ReadonlySet<string> = new Set([
  "0BSD",
  "Apache-2.0",
  "BSD-2-Clause",
  "BSD-3-Clause",
  "Bitstream-Vera",
  "blessing",
  "ISC",
  "MIT",
  "MPL-2.0",
  "OFL-1.1",
  "Unlicense",
]);

/** What a package leaves out, found by a person in the place that `source` names. */
export type LicenceKnown = {
  /** SPDX expression, instead of the one in its package.json. */
  readonly licence?: string;
  /** File in `licence-texts`, of a package that brings no text. */
  readonly textFile?: string;
  /** Only the part of its text before this line is of the code that stands in the bundle. */
  readonly textEndsBefore?: string;
  readonly source: string;
};

/** By the package's name. An entry that is of no use any more fails the build, so that none outlives its reason. */
export const knownLicences: Readonly<Record<string, LicenceKnown>> = {
  brotli: {
    licence: "MIT AND Apache-2.0",
    textFile: "brotli.txt",
    source: "readme.md of the package; the heads of the files in its folder dec",
  },
  dfa: { textFile: "dfa.txt", source: "README.md and package.json of the package" },
  fontkit: { textFile: "fontkit.txt", source: "LICENSE of its repository, github.com/foliojs/fontkit" },
  "png-js": { licence: "MIT", source: "LICENSE of the package" },
  vite: {
    textEndsBefore: "# Licenses of bundled dependencies",
    source: "LICENSE.md of the package: what follows is of vite's own packages, none of which is in the bundle",
  },
};

/** The identifiers of an SPDX expression. One that leaves a choice is not taken apart: a person makes the choice. */
export function licencesOf(expression: string): readonly string[] {
  return expression.split(" AND ");
}
