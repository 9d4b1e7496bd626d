/**
 * Small pictures kept between openings of a film, by its fingerprint, in the browser's own store. A browser that keeps
 * nothing, as in a private window, is no failure: pictures are then made anew.
 */
const storeName = "picture";
const byOrder = "order";
/** The second layout of the store: the first did not know which picture came first. */
const version = 2;
/** About 4 kB each: some hundred megabytes, 35 films of two hours. */
const mostPicturesUsual = 25_000;
/** Taken out beyond the limit, so that not every opening has to. */
const spareShare = 0.2;

export type ThumbShelf = {
  /** In the order of the keys; null where none is kept. */
  readonly get: (keys: readonly string[]) => Promise<readonly (Blob | null)[]>;
  readonly put: (key: string, picture: Blob) => void;
  readonly close: () => void;
};

const nothingKept: ThumbShelf = {
  get: (keys) => Promise.resolve(keys.map(() => null)),
  put: () => {},
  close: () => {},
};

/** Never rejects. Beyond `mostPictures` those that were put away first are taken out at the opening. */
export async function openShelf(name = "crewglass-thumbs", mostPictures = mostPicturesUsual): Promise<ThumbShelf> {
  try {
    const db = await opened(name);
    await makeRoom(db, mostPictures);
    return {
      get: async (keys) => {
        try {
          const store = db.transaction(storeName).objectStore(storeName);
          return await Promise.all(keys.map(async (key) => pictureOf(await answered(store.get(key)))));
        } catch {
          return keys.map(() => null);
        }
      },
      put: (key, picture) => {
        try {
          const entry: Entry = { picture, order: Date.now() };
          db.transaction(storeName, "readwrite").objectStore(storeName).put(entry, key);
        } catch {
          // A full store only means that the picture is made again.
        }
      },
      close: () => db.close(),
    };
  } catch {
    return nothingKept;
  }
}

type Entry = { readonly picture: Blob; readonly order: number };

function pictureOf(entry: unknown): Blob | null {
  const picture: unknown = typeof entry === "object" && entry !== null && "picture" in entry ? entry.picture : null;
  return picture instanceof Blob ? picture : null;
}

async function makeRoom(db: IDBDatabase, mostPictures: number): Promise<void> {
  const store = db.transaction(storeName, "readwrite").objectStore(storeName);
  const count = await answered(store.count());
  if (count <= mostPictures) return;
  const oldest = await answered(
    store.index(byOrder).getAllKeys(null, count - Math.floor(mostPictures * (1 - spareShare))),
  );
  await Promise.all(oldest.map((key) => answered(store.delete(key))));
}

function opened(name: string): Promise<IDBDatabase> {
  const request = indexedDB.open(name, version);
  request.addEventListener("upgradeneeded", () => {
    const db = request.result;
    for (const old of [...db.objectStoreNames]) db.deleteObjectStore(old);
    db.createObjectStore(storeName).createIndex(byOrder, "order");
  });
  return new Promise((resolve, reject) => {
    // Another window holds the store's first layout open: nothing is kept until it is closed.
    request.addEventListener("blocked", () => reject(new Error("another window holds the store")));
    answered(request).then((db) => {
      db.addEventListener("versionchange", () => db.close());
      resolve(db);
    }, reject);
  });
}

function answered<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.addEventListener("success", () => resolve(request.result));
    request.addEventListener("error", () => reject(request.error ?? new Error("the store does not answer")));
  });
}
