// The store's versions: each step brings it from the version before to its own, with what it holds.
// A released step is never changed; a new need is a new step.

/** Version 1: packs taken along, works in hand, their photographs, settings, what was answered. */
function first(db) {
  db.createObjectStore("packs", { keyPath: "structure.id" });
  db.createObjectStore("packPhotos", { keyPath: "id" });
  db.createObjectStore("works", { keyPath: "identity" });
  db.createObjectStore("photos", { keyPath: "identity" }).createIndex("work", "work");
  db.createObjectStore("settings", { keyPath: "name" });
  db.createObjectStore("answered", { keyPath: "record" });
}

/** Version 2: photographs by finding, pictures of a pack by structure; a work knows its last sent content, who made it
    and how often it was changed (so that an answer to an older content never passes for the newer one). */
function second(db, transaction) {
  transaction.objectStore("photos").createIndex("finding", "finding");
  transaction.objectStore("packPhotos").createIndex("structure", "structure");
  const cursor = transaction.objectStore("works").openCursor();
  cursor.onsuccess = () => {
    const row = cursor.result;
    if (!row) { return; }
    const work = row.value;
    row.update({ ...work, record: work.record ?? null, frozen: null, person: work.person ?? null, changes: 1 });
    row.continue();
  };
}

const STEPS = [first, second];
export const VERSION = STEPS.length;

/** Take every step between the version found and today's, inside the browser's own upgrade transaction. */
export function upgrade(db, transaction, found) {
  for (const step of STEPS.slice(found)) { step(db, transaction); }
}
