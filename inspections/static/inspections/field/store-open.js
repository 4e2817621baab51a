// One connection to the store on the device; what can go wrong with it, in sentences.
import { VERSION, upgrade } from "./store-steps.js";

export const NAME = "spanledger-field";
const SAVE_NOW_WAIT_MS = 10000;

const WORDS = {
  full: "The storage of this device is full: the last change is not saved. What was saved before is safe. Send or export the unsent work, or delete packs that are done, then change something again.",
  older: "A newer version of this app has opened the store. What you entered until now is saved. Close this window and open the app again.",
  closed: "This browser lets the app keep nothing (private window, or storage forbidden). Nothing entered here would survive; use another window.",
  failed: "The device could not save the last change. Export the unsent work now, then start the device again.",
};

/** A refusal of the store: `kind` is full, older, closed or failed; the message is a sentence for the person. */
export class StoreTrouble extends Error {
  constructor(kind, cause) { super(WORDS[kind]); this.name = "StoreTrouble"; this.kind = kind; this.cause = cause; }
}

export function troubleOf(error) {
  if (error instanceof StoreTrouble) { return error; }
  const name = error ? error.name : "";
  if (name === "QuotaExceededError") { return new StoreTrouble("full", error); }
  if (name === "VersionError") { return new StoreTrouble("older", error); }
  return new StoreTrouble("failed", error);
}

export function emit(name, detail = {}) {
  if (globalThis.document) { document.dispatchEvent(new CustomEvent(name, { detail })); }
}

export function tellTrouble(error) { emit("field:trouble", { kind: error.kind, sentence: error.message }); }

let opening = null;
let isRetired = false;
const running = new Set();

/** The open store; waits where another window must close an older one first. Rejects with StoreTrouble. */
export function openStore() {
  if (isRetired) { return Promise.reject(new StoreTrouble("older")); }
  if (!opening) {
    opening = open();
    opening.catch(() => { opening = null; });
  }
  return opening;
}

function open() {
  return new Promise((resolve, reject) => {
    if (!globalThis.indexedDB) { reject(new StoreTrouble("closed")); return; }
    let request;
    try { request = indexedDB.open(NAME, VERSION); } catch (error) { reject(new StoreTrouble("closed", error)); return; }
    request.onupgradeneeded = (event) => upgrade(request.result, request.transaction, event.oldVersion);
    request.onblocked = () => emit("field:blocked");
    request.onerror = () => reject(["SecurityError", "InvalidStateError"].includes(request.error.name) ? new StoreTrouble("closed", request.error) : troubleOf(request.error));
    request.onsuccess = () => {
      const db = request.result;
      db.onversionchange = (event) => giveWay(db, event.newVersion);
      db.onclose = () => { opening = null; };
      emit("field:opened");
      resolve(db);
    };
  });
}

// A newer window wants to bring the store up to date: save what is being typed, then let go. The form stays.
async function giveWay(db, newVersion) {
  const waits = [];
  let isLate = false;
  emit("field:save-now", { wait: (promise) => waits.push(promise) });
  const late = new Promise((resolve) => { setTimeout(() => { isLate = true; resolve(); }, SAVE_NOW_WAIT_MS); });
  await Promise.race([Promise.allSettled(waits), late]);
  while (running.size && !isLate) { await Promise.race([Promise.allSettled([...running]), late]); }
  isRetired = newVersion !== null;
  // Writes still under way are finished by the browser before the connection goes.
  db.close();
  opening = null;
  if (isRetired) { tellTrouble(new StoreTrouble("older")); }
}

async function transactionOn(names, mode) {
  for (let again = 0; ; again += 1) {
    const db = await openStore();
    try {
      return db.transaction(names, mode, mode === "readwrite" ? { durability: "strict" } : undefined);
    } catch (error) {
      // The connection was closed under us (storage pressure, a window of another version): open it once more.
      if (error.name !== "InvalidStateError" || again) { throw troubleOf(error); }
      opening = null;
    }
  }
}

async function run(names, mode, act) {
  const transaction = await transactionOn(names, mode);
  return new Promise((resolve, reject) => {
    let given;
    transaction.oncomplete = () => resolve(given);
    transaction.onabort = () => reject(troubleOf(transaction.error));
    try {
      act(transaction, (value) => { given = value; });
    } catch (error) {
      transaction.abort();
      reject(troubleOf(error));
    }
  });
}

/** `act(transaction, give)` in one writing transaction; resolves with what was given once it is on the disk. */
export function change(names, act) {
  const done = run(names, "readwrite", act);
  running.add(done);
  const over = () => running.delete(done);
  done.then(over, (error) => { over(); tellTrouble(error); });
  return done;
}

/** `act(transaction, give)` in one reading transaction. */
export function read(names, act) { return run(names, "readonly", act); }
