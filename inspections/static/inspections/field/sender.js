// Sending what this device holds: one record at a time, critical findings first, photographs after the records.
import { SignedOut, Unreachable, whoami } from "./office.js";
import { askWake } from "./registration.js";
import { deviceId, inOrder, maySend } from "./sending/content.js";
import { makeBackoff } from "./sending/backoff.js";
import { sendPhoto } from "./sending/photos.js";
import { askAfterHeld, sendWork } from "./sending/records.js";
import { emit } from "./store-open.js";
import { allAnswered, allUnkeptPhotos, allWorks, changeWork, notePhoto, photosOf, releaseWork } from "./store.js";

const LOCK = "spanledger-field-send";
// Signal came back or a person asked: the waits so far say nothing any more.
const AFRESH = new Set(["pressed", "handed-in", "online", "load", "signed-in"]);
const backoff = makeBackoff(() => sendAll({ reason: "timer" }));

let running = null;
let isAskedAgain = false;
let openWork = null;
let told = { state: "idle", words: "" };

/** {state: idle|sending|waiting|signed_out, words}: what sending is about. */
export function sendingState() { return told; }
export function isSending() { return running !== null; }

function tell(state, words) { told = { state, words }; emit("field:state"); }

/** The work whose form is open in this window stays on the device even when all of it has arrived; "all" keeps every one. */
export function keepOnDevice(identity) { openWork = identity; if (!identity) { return tidy(); } return Promise.resolve(); }

/** Send everything that is ready. Resolves when this round is over, whatever came of it; never rejects. */
export function sendAll({ reason = "" } = {}) {
  if (AFRESH.has(reason)) { backoff.reset(); } else if (backoff.isWaiting()) { return Promise.resolve(); }
  if (running) { isAskedAgain = true; return running; }
  running = aloneOnDevice(() => round(reason)).finally(() => {
    running = null;
    emit("field:state");
    if (isAskedAgain) { isAskedAgain = false; if (!backoff.isWaiting()) { sendAll({ reason: "again" }); } }
  });
  return running;
}

// Two windows never send at once. Where the browser has no locks the frozen numbers make a double sending harmless.
function aloneOnDevice(act) {
  return navigator.locks ? navigator.locks.request(LOCK, act) : act();
}

async function round(reason) {
  try {
    if (reason === "pressed") { await forgetProblems(); }
    if (!(await isAnythingOwed(AFRESH.has(reason)))) { tell("idle", ""); return; }
    tell("sending", "Sending");
    const { person } = await whoami();
    await sendRecords(person);
    await sendPhotos(person);
    for (const work of await allWorks()) { if (isWithOffice(work)) { await askAfterHeld(work); } }
    await tidy();
    tell("idle", "");
    backoff.reset();
  } catch (error) {
    stopped(error);
  }
}

function stopped(error) {
  if (error instanceof SignedOut) { backoff.reset(); tell("signed_out", error.message); return; }
  const words = error instanceof Unreachable ? error.message : `Sending stopped: ${error.message}`;
  const wait_s = backoff.later();
  // Only where the signal is gone: a browser that thinks it has one wakes at once, and there would be no wait at all.
  if (!navigator.onLine) { askWake(); }
  tell("waiting", `${words} Next try in ${wait_s < 90 ? `${Math.round(wait_s)} seconds` : `${Math.round(wait_s / 60)} minutes`}.`);
}

// Held: the office may have settled it meanwhile; a person here may still choose where two versions met.
const isWithOffice = (work) => work.state === "held";

async function isAnythingOwed(isAskedAfterHeld) {
  const works = await allWorks();
  return works.some((work) => (work.state === "ready" && !work.problem) || (isAskedAfterHeld && isWithOffice(work))) || (await allUnkeptPhotos()).some((photo) => !photo.problem);
}

async function forgetProblems() {
  for (const work of await allWorks()) { if (work.problem) { await changeWork(work.identity, (row) => ({ ...row, problem: null })); } }
  for (const photo of await allUnkeptPhotos()) { if (photo.problem) { await notePhoto(photo.identity, { problem: null }); } }
}

// Read anew before each: a critical finding entered meanwhile goes next.
async function sendRecords(person) {
  const tried = new Set();
  for (;;) {
    const ready = (await allWorks()).filter((work) => work.state === "ready" && !work.problem && maySend(work, person));
    const next = inOrder(ready).find((work) => !tried.has(`${work.identity} ${work.changes}`));
    if (!next) { return; }
    tried.add(`${next.identity} ${next.changes}`);
    tell("sending", `Sending ${next.number || "a record"}`);
    await sendWork(next.identity);
    emit("field:answered", { identity: next.identity });
  }
}

async function sendPhotos(person) {
  const works = new Map((await allWorks()).map((work) => [work.identity, work]));
  const answered = new Map((await allAnswered()).map((each) => [each.identity, each]));
  const device = await deviceId();
  const owed = (await allUnkeptPhotos()).filter((photo) => !photo.problem && isDue(works.get(photo.work), answered.get(photo.work), person));
  for (const [index, photo] of owed.entries()) {
    const about = works.get(photo.work) || answered.get(photo.work);
    const name = `Sending photo ${index + 1} of ${owed.length}`;
    tell("sending", name);
    await sendPhoto(photo, about.structure ?? null, device, (share) => tell("sending", `${name}, ${Math.round(share * 100)} %`));
    emit("field:answered", { identity: photo.work });
  }
}

// A photograph follows the record that names it, never before it.
function isDue(work, answered, person) {
  if (!work) { return Boolean(answered); }
  return Boolean(work.answer) && ["filed", "held"].includes(work.state) && maySend(work, person);
}

/** Take off the device what the office has whole: its record named back and every photograph. */
async function tidy() {
  if (openWork === "all") { return; }
  for (const work of await allWorks()) {
    if (work.state !== "filed" || work.identity === openWork || !isOver(work)) { continue; }
    const photos = await photosOf(work.identity);
    if (photos.every((photo) => photo.kept)) { await releaseWork(work.identity, work.changes, shortOf); }
  }
}

// A draft at the office goes on here; a sign or a critical finding has no draft.
function isOver(work) { return work.is_over || !["draft", "sent_back"].includes(work.answer?.inspection?.state); }

function shortOf(work, photos) {
  const { identity, kind, structure, number, answer, sent_at, person } = work;
  const what = work.body?.inspection?.kind || "";
  const sentences = [...(answer.sentences || []), ...photos.flatMap((photo) => photo.problem?.sentences || [])];
  return { record: answer.record, identity, kind, what, structure, number, at: sent_at, sentences, inspection: answer.inspection || null, photos: photos.length, person };
}
