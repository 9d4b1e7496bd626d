import { licencesOf } from "./licence-rules.ts";
import type { Shipped, ShippedComponent } from "./shipped-components.ts";

/**
 * What ships as a bill of materials, CycloneDX 1.6 in JSON (cyclonedx.org/docs/1.6/json). It bears no time and no
 * serial number, both of which the format leaves to the writer, so that equal sources give equal bytes.
 */
export function billOfMaterials({ program, components }: Shipped): string {
  const bill = {
    $schema: "http://cyclonedx.org/schema/bom-1.6.schema.json",
    bomFormat: "CycloneDX",
    specVersion: "1.6",
    version: 1,
    metadata: { lifecycles: [{ phase: "build" }], component: entry(program) },
    components: components.map(entry),
    dependencies: [program, ...components].map(({ purl, needs }) => ({ ref: purl, dependsOn: needs })),
  };
  return `${JSON.stringify(bill, null, 2)}\n`;
}

function entry({ kind, name, version, purl, licence, sha512, where }: ShippedComponent): object {
  const slash = name.startsWith("@") ? name.indexOf("/") : -1;
  return {
    type: kind,
    "bom-ref": purl,
    ...(slash < 0 ? {} : { group: name.slice(0, slash) }),
    name: name.slice(slash + 1),
    version,
    purl,
    ...(sha512 === null ? {} : { hashes: [{ alg: "SHA-512", content: sha512 }] }),
    licenses: licencesOf(licence).length > 1 ? [{ expression: licence }] : [{ license: { id: licence } }],
    ...(where === "" ? {} : { properties: [{ name: "crewglass:where", value: where }] }),
  };
}
