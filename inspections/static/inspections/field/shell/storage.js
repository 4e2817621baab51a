// How safe and how large the storage of this device is, in words.
import { sizeWords } from "./words.js";

const LITTLE_BYTES = 50 * 1024 * 1024;

/** {sentences, warnings}: what the browser promises for what is kept here, and where space runs out. Asks for persistence. */
export async function storageWords() {
  const told = [];
  const warnings = [];
  const storage = navigator.storage;
  if (!storage?.persist) {
    told.push("▲ This browser does not say whether it keeps this app's data when space runs short. Send or export at the end of each day.");
  } else if (await persisted(storage)) {
    told.push("This device promised to keep this app's data until you delete it.");
  } else {
    told.push("▲ This browser has not promised to keep this app's data when space runs short. Install the app on the start screen, and send or export at the end of each day.");
  }
  if (storage?.estimate) {
    const { usage = 0, quota = 0 } = await storage.estimate();
    const free = Math.max(0, quota - usage);
    const words = `Used here: ${sizeWords(usage)}; still free for the app: ${sizeWords(free)}.`;
    if (free < LITTLE_BYTES) { warnings.push(`Storage is nearly full. ${words} Send or export what is unsent and delete packs that are done.`); } else { told.push(words); }
  } else {
    told.push("This browser does not say how much space is left.");
  }
  return { sentences: told, warnings };
}

async function persisted(storage) {
  try { return (await storage.persisted()) || (await storage.persist()); } catch { return false; }
}
