import { createHmac } from "node:crypto";

/**
 * An id for whoever a library knows by name: the same for the same name, so that what is said of one person in several packets
 * meets again, and without the library's own key nobody finds the name by trying names.
 */
export function personIdBy(key: string): (name: string) => string {
  return (name) => {
    const plain = name.normalize("NFKC").trim().replaceAll(/\s+/gu, " ").toLowerCase();
    return createHmac("sha256", key).update(plain).digest("hex").slice(0, 32);
  };
}
