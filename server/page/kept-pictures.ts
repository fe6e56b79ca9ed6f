/** What a picture was opened from: a file of the person's, or a sample by its name. */
export type PictureOrigin =
  | { readonly kind: 'file'; readonly name: string; readonly file: Blob }
  | { readonly kind: 'sample'; readonly name: string; readonly title: string };

/** Pictures that the browser keeps for when the server has forgotten them: as many as a person has in hand. */
const MOST = 12;
const DATABASE = 'stencilwright';
const STORE = 'pictures';

/** In memory too, where the browser keeps nothing, as in a private window. */
const inMemory = new Map<string, PictureOrigin>();

/** Keeps what a picture was opened from, by the server's id. */
export async function keepOrigin(id: string, origin: PictureOrigin): Promise<void> {
  inMemory.set(id, origin);
  const store = await openStore('readwrite');
  if (!store) return;
  store.put({ origin, at: Date.now() }, id);
  const oldest = store.getAllKeys();
  oldest.onsuccess = () => {
    const all = oldest.result.map(String);
    const gone = all.filter((key) => key !== id && !inMemory.has(key));
    for (const key of gone.slice(0, Math.max(0, all.length - MOST))) store.delete(key);
  };
}

/** What a picture was opened from; undefined where the browser does not know. */
export async function originOf(id: string): Promise<PictureOrigin | undefined> {
  const known = inMemory.get(id);
  if (known) return known;
  const store = await openStore('readonly');
  if (!store) return undefined;
  return new Promise((resolve) => {
    const asked = store.get(id);
    asked.onsuccess = () =>
      resolve((asked.result as { origin: PictureOrigin } | undefined)?.origin);
    asked.onerror = () => resolve(undefined);
  });
}

/** Undefined where the browser has none, or lets none be used: the picture is then in memory alone. */
function openStore(mode: IDBTransactionMode): Promise<IDBObjectStore | undefined> {
  return new Promise((resolve) => {
    const asked = indexedDB.open(DATABASE, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(STORE);
    asked.onsuccess = () => resolve(asked.result.transaction(STORE, mode).objectStore(STORE));
    asked.onerror = () => resolve(undefined);
    asked.onblocked = () => resolve(undefined);
  });
}
