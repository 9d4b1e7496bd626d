/**
 * Small pictures kept between openings of a film, by its fingerprint, in the browser's own store. A browser that keeps
 * nothing, as in a private window, is no failure: pictures are then made anew.
 */
const storeName = "thumb";
/** About 4 kB each: some hundred megabytes at the most. */
const mostPictures = 25_000;

export type ThumbShelf = {
  readonly get: (key: string) => Promise<Blob | null>;
  readonly put: (key: string, picture: Blob) => void;
};

const nothingKept: ThumbShelf = { get: () => Promise.resolve(null), put: () => {} };

export async function openShelf(name = "crewglass-thumbs"): Promise<ThumbShelf> {
  try {
    const db = await opened(name);
    const count = await answered(db.transaction(storeName).objectStore(storeName).count());
    if (count > mostPictures) db.transaction(storeName, "readwrite").objectStore(storeName).clear();
    return {
      get: async (key) => {
        try {
          const found: unknown = await answered(db.transaction(storeName).objectStore(storeName).get(key));
          return found instanceof Blob ? found : null;
        } catch {
          return null;
        }
      },
      put: (key, picture) => {
        try {
          db.transaction(storeName, "readwrite").objectStore(storeName).put(picture, key);
        } catch {
          // A full store only means that the picture is made again.
        }
      },
    };
  } catch {
    return nothingKept;
  }
}

function opened(name: string): Promise<IDBDatabase> {
  const request = indexedDB.open(name, 1);
  request.addEventListener("upgradeneeded", () => request.result.createObjectStore(storeName));
  return answered(request);
}

function answered<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.addEventListener("success", () => resolve(request.result));
    request.addEventListener("error", () => reject(request.error ?? new Error("the store does not answer")));
  });
}
