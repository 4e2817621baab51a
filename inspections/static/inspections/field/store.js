// What this device keeps: packs, works, photographs, settings, answers. Every write resolves once it is on the disk.
import { sha256Hex } from "./ids.js";
import { change, emit, openStore, read } from "./store-open.js";

export { openStore };

const KEPT_ANSWERS = 100;
// The sender's own part of a work; a form's copy of it may be older than the stored one.
const SENDERS = [
  "record", "frozen", "answer", "problem", "sent_at", "person", "changes", "base_revision", "resolves", "is_over", "taken_over_by",
];

const channel = globalThis.BroadcastChannel ? new BroadcastChannel("spanledger-field") : null;
if (channel) { channel.onmessage = () => tellCount(); }

// Counted at once, then at most every quarter second: sending a thousand photographs must not count a thousand times.
const COUNT_EVERY_MS = 250;
let counting = null;
let isCountOwed = false;

async function tellCount() {
  if (counting) { isCountOwed = true; return; }
  counting = setTimeout(() => { counting = null; if (isCountOwed) { isCountOwed = false; tellCount(); } }, COUNT_EVERY_MS);
  try { emit("field:unsent", await unsentCount()); } catch { /* the store has told its own trouble */ }
}

function changed() {
  if (channel) { channel.postMessage("changed"); }
  return tellCount();
}

function all(name, index, key) {
  return read([name], (transaction, give) => {
    const rows = transaction.objectStore(name);
    const request = index ? rows.index(index).getAll(key) : rows.getAll();
    request.onsuccess = () => give(request.result);
  });
}

function one(name, key) {
  return read([name], (transaction, give) => {
    const request = transaction.objectStore(name).get(key);
    request.onsuccess = () => give(request.result);
  });
}

export const allPacks = () => all("packs");
export const getPack = (id) => one("packs", Number(id));
export const allWorks = () => all("works");
export const getWork = (identity) => one("works", identity);
export const photosOf = (identity) => all("photos", "work", identity);
export const photosOfFinding = (identity) => all("photos", "finding", identity);
export const getPhoto = (identity) => one("photos", identity);
export const allAnswered = () => all("answered");

/** The Blob of a picture that came with a pack, or undefined. */
export async function getPackPhoto(id) { return (await one("packPhotos", Number(id)))?.blob; }

/** A pack with its pictures [{id, blob}], whole or not at all; pictures of the pack before are dropped. */
export function putPack(pack, pictures = []) {
  return change(["packs", "packPhotos"], (transaction) => {
    const photos = transaction.objectStore("packPhotos");
    const structure = pack.structure.id;
    const old = photos.index("structure").getAllKeys(structure);
    old.onsuccess = () => {
      for (const key of old.result) { photos.delete(key); }
      for (const { id, blob } of pictures) { photos.put({ id, structure, blob }); }
      transaction.objectStore("packs").put(pack);
    };
  });
}

/** Change what the device noted on a pack (`kept`), leaving its pictures. */
export function notePack(id, kept) {
  return change(["packs"], (transaction) => {
    const packs = transaction.objectStore("packs");
    const request = packs.get(Number(id));
    request.onsuccess = () => {
      const pack = request.result;
      if (pack) { packs.put({ ...pack, kept: { ...pack.kept, ...kept } }); }
    };
  });
}

export function removePack(id) {
  return change(["packs", "packPhotos"], (transaction) => {
    transaction.objectStore("packs").delete(Number(id));
    const photos = transaction.objectStore("packPhotos");
    const keys = photos.index("structure").getAllKeys(Number(id));
    keys.onsuccess = () => { for (const key of keys.result) { photos.delete(key); } };
  });
}

export async function setting(name) { return (await one("settings", name))?.value; }

export function setSetting(name, value) {
  return change(["settings"], (transaction) => { transaction.objectStore("settings").put({ name, value }); });
}

const saving = new Map();

/** Keep a work as the form has it; resolves with the stored row. Saves of one work are joined: while one is being
    written only the last of those that came meanwhile waits. */
export function saveWork(work) {
  const line = saving.get(work.identity);
  if (!line) { return startSaving(work); }
  if (line.next) { line.next.work = work; return line.next.done; }
  const next = { work };
  next.done = line.running.catch(() => {}).then(() => startSaving(next.work));
  line.next = next;
  return next.done;
}

function startSaving(work) {
  const line = { running: putWork(work), next: null };
  saving.set(work.identity, line);
  const over = () => { if (saving.get(work.identity) === line && !line.next) { saving.delete(work.identity); } };
  line.running.then(over, over);
  line.running.then(changed, () => {});
  return line.running;
}

function putWork(work) {
  return change(["works", "settings"], (transaction, give) => {
    const works = transaction.objectStore("works");
    const stored = works.get(work.identity);
    const person = transaction.objectStore("settings").get("person");
    person.onsuccess = () => {
      const row = stored.result ? ontoStored(work, stored.result) : newRow(work, person.result?.value ?? null);
      works.put(row);
      give(row);
    };
  });
}

function newRow(work, person) {
  return { base_revision: null, answer: null, problem: null, ...work, person, record: null, frozen: null, changes: 1, changed_at: new Date().toISOString() };
}

function ontoStored(work, stored) {
  const row = { ...stored, ...work };
  for (const key of SENDERS) { if (key in stored) { row[key] = stored[key]; } else { delete row[key]; } }
  const isSame = JSON.stringify(work.body) === JSON.stringify(stored.body);
  // Opening a sent work to look at it does not make it unsent.
  if (isSame && work.state === "open" && ["filed", "held"].includes(stored.state)) { row.state = stored.state; }
  if (!isSame || row.state !== stored.state) {
    row.changes = stored.changes + 1;
    row.problem = null;
    row.changed_at = new Date().toISOString();
  }
  return row;
}

/** The sender's way: `alter(row)` returns the row to keep (or null to leave all as it is), in one transaction. */
export async function changeWork(identity, alter) {
  const row = await change(["works"], (transaction, give) => {
    const works = transaction.objectStore("works");
    const request = works.get(identity);
    request.onsuccess = () => {
      const next = request.result ? alter(request.result) : null;
      if (next) { works.put(next); }
      give(next || request.result);
    };
  });
  await changed();
  return row;
}

/** Take a work and its photographs off the device; `short` is kept among the answered. */
export async function removeWork(identity, short = null) {
  await change(["works", "photos", "answered"], (transaction) => {
    transaction.objectStore("works").delete(identity);
    const photos = transaction.objectStore("photos");
    const keys = photos.index("work").getAllKeys(identity);
    keys.onsuccess = () => { for (const key of keys.result) { photos.delete(key); } };
    if (short) { keepAnswer(transaction.objectStore("answered"), short); }
  });
  return changed();
}

/** Let go of a work that the office has whole: only as it was seen (`changes`), and only where every photograph of it
    is kept there; whatever was entered meanwhile, in another window too, stays. */
export async function releaseWork(identity, changes, shortOf) {
  const isGone = await change(["works", "photos", "answered"], (transaction, give) => {
    const works = transaction.objectStore("works");
    const photos = transaction.objectStore("photos");
    const request = works.get(identity);
    request.onsuccess = () => {
      const work = request.result;
      if (!work || work.state !== "filed" || work.changes !== changes) { return; }
      const rows = photos.index("work").getAll(identity);
      rows.onsuccess = () => {
        if (!rows.result.every((photo) => photo.kept)) { return; }
        works.delete(identity);
        for (const photo of rows.result) { photos.delete(photo.identity); }
        keepAnswer(transaction.objectStore("answered"), shortOf(work, rows.result));
        give(true);
      };
    };
  });
  return isGone ? changed() : undefined;
}

// A record names its photographs: with another one it is another content, even where nothing else was changed. A
// critical finding that has gone goes again; an inspection is handed in by its form.
function photosChanged(transaction, identity, isMore) {
  const works = transaction.objectStore("works");
  const request = works.get(identity);
  request.onsuccess = () => {
    const work = request.result;
    if (!work) { return; }
    const goesAgain = isMore && work.kind === "critical" && ["filed", "held"].includes(work.state);
    works.put({ ...work, changes: work.changes + 1, state: goesAgain ? "ready" : work.state });
  };
}

function keepAnswer(answered, short) {
  answered.put(short);
  const rows = answered.getAll();
  rows.onsuccess = () => {
    const newestFirst = rows.result.sort((a, b) => (a.at < b.at ? 1 : -1));
    for (const old of newestFirst.slice(KEPT_ANSWERS)) { answered.delete(old.record); }
  };
}

/** A photograph of a work; checksum and size are worked out where they are not given. */
export async function putPhoto(photo) {
  const sha256 = photo.sha256 || (await sha256Hex(photo.blob));
  const row = { finding: null, caption: "", taken_at: null, lon: null, lat: null, kept: false, problem: null, ...photo, sha256, size_bytes: photo.size_bytes || photo.blob.size };
  await change(["photos", "works"], (transaction) => {
    transaction.objectStore("photos").put(row);
    photosChanged(transaction, row.work, true);
  });
  await changed();
  return row;
}

/** Change some fields of a photograph that is still there. */
export async function notePhoto(identity, fields) {
  await change(["photos"], (transaction) => {
    const photos = transaction.objectStore("photos");
    const request = photos.get(identity);
    request.onsuccess = () => { if (request.result) { photos.put({ ...request.result, ...fields }); } };
  });
  return changed();
}

export async function removePhoto(identity) {
  await change(["photos", "works"], (transaction) => {
    const photos = transaction.objectStore("photos");
    const request = photos.get(identity);
    request.onsuccess = () => {
      if (!request.result) { return; }
      photos.delete(identity);
      photosChanged(transaction, request.result.work, false);
    };
  });
  return changed();
}

/** {count, works, photos}: works not yet with the office, and photographs not yet there. */
export async function unsentCount() {
  const [works, photos] = await Promise.all([allWorks(), allUnkeptPhotos()]);
  const waiting = works.filter((work) => isUnsent(work)).length;
  return { count: waiting + photos.length, works: waiting, photos: photos.length };
}

/** Whether the office has not got this work as it stands, or waits for an answer of this person. */
export function isUnsent(work) {
  return work.state === "open" || work.state === "ready" || (work.state === "held" && work.answer?.held_for === "meeting");
}

/** Photographs that the office has not got whole. */
export function allUnkeptPhotos() {
  return read(["photos"], (transaction, give) => {
    const found = [];
    const cursor = transaction.objectStore("photos").openCursor();
    cursor.onsuccess = () => {
      const row = cursor.result;
      if (!row) { give(found); return; }
      if (!row.value.kept) { found.push(row.value); }
      row.continue();
    };
  });
}
