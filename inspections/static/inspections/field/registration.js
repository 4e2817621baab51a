// The worker that opens the app without signal: started here, and replaced only when no form is open in any window.
import { emit } from "./store-open.js";

const FORM_LOCK = "spanledger-field-form";
const WORK_LOCK = "spanledger-field-work-";
// A page that is being reloaded lets go within this time.
const TAKEN_AFTER_MS = 1500;
// Where the browser wakes a worker when signal is back, the worker sends by itself, for which it must be a module.
const SENDS = ["/field-worker.js?sends", "module"];
const OPENS = ["/field-worker.js", "classic"];
let registration = null;
let isAsked = false;
let letGo = null;
let letWorkGo = null;

/** Start the worker. Resolves with "" or with a sentence saying why there is none. */
export async function startWorker() {
  if (!navigator.serviceWorker) { return "This browser cannot open the app without a signal. What is entered is kept; leave this page open while you are out."; }
  const hadController = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // The first worker only takes over; a newer one means that a window asked for it: files and page must match.
    if (isAsked || (hadController && !letGo)) { window.location.reload(); }
  });
  navigator.serviceWorker.addEventListener("message", (event) => { if (event.data === "send") { emit("field:signal"); } });
  try {
    registration = await register(globalThis.SyncManager ? SENDS : OPENS).catch(() => register(OPENS));
  } catch {
    return navigator.serviceWorker.controller ? "" : "The app could not be kept on this device yet: open it once more with a signal before you leave.";
  }
  registration.addEventListener("updatefound", () => watch(registration.installing));
  watch(registration.installing);
  if (isWaiting()) { emit("field:newer"); }
  return "";
}

function register([address, type]) {
  return navigator.serviceWorker.register(address, { scope: "/field/", type, updateViaCache: "none" });
}

function watch(worker) {
  worker?.addEventListener("statechange", () => {
    if (worker.state === "installed" && isWaiting()) { emit("field:newer"); }
    if (worker.state === "activated") { emit("field:state"); }
  });
}

/** Whether a newer version lies ready and waits for the windows of this one. */
export function isWaiting() { return Boolean(registration?.waiting && navigator.serviceWorker.controller); }

/** Look for a newer version; quietly, and never in the way. */
export async function lookForNewer() { try { await registration?.update(); } catch { /* no signal, or signed out */ } }

/** Say that a form is open here (true) or not: a newer version is not offered while one is open in any window. */
export function holdForm(isOpen) {
  if (!isOpen) { letGo?.(); letWorkGo?.(); [letGo, letWorkGo] = [null, null]; return; }
  if (letGo) { return; }
  let free = () => {};
  const held = new Promise((resolve) => { free = resolve; });
  letGo = free;
  navigator.locks?.request(FORM_LOCK, { mode: "shared" }, () => held);
}

/** Hold one work for this window; false where its form is open in another one, whose typing it would write over.
    `holdForm(false)` lets go of it. */
export function holdWork(identity) {
  letWorkGo?.();
  letWorkGo = null;
  if (!navigator.locks) { return Promise.resolve(true); }
  return new Promise((resolve) => {
    const wait = new AbortController();
    const timer = setTimeout(() => wait.abort(), TAKEN_AFTER_MS);
    navigator.locks.request(WORK_LOCK + identity, { signal: wait.signal }, () => {
      clearTimeout(timer);
      resolve(true);
      return new Promise((free) => { letWorkGo = free; });
    }).catch(() => resolve(false));
  });
}

export function isFormHeld() { return Boolean(letGo); }

/** Let the newer version take over. False where a form is open in this or another window. */
export async function takeNewer() {
  if (letGo || !isWaiting()) { return false; }
  const act = () => { isAsked = true; registration.waiting.postMessage("take-over"); return true; };
  if (!navigator.locks) { return act(); }
  return navigator.locks.request(FORM_LOCK, { ifAvailable: true }, (lock) => (lock ? act() : false));
}

/** Ask the browser to wake the sending when there is signal again, where it can. */
export async function askWake() {
  try { await (registration || globalThis.registration)?.sync?.register("send"); } catch { /* not allowed: timers do it */ }
}
