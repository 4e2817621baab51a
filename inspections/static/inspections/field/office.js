// Asking the office: one way in and out, with the ways it can fail told apart.
import { learnClock } from "./clock.js";
import { emit } from "./store-open.js";
import { setSetting, setting } from "./store.js";

const WAIT_MS = 30000;
export const SIGN_IN = "/sign-in/?next=/field/";

/** Nobody is signed in (any more): sending stops until somebody is. */
export class SignedOut extends Error {
  constructor() { super("Sign in again to send; nothing is lost."); this.name = "SignedOut"; }
}

/** No answer, or none of the office's: to be tried again later. `isCut`: the line broke at once, without any wait. */
export class Unreachable extends Error {
  constructor(message, { isCut = false } = {}) { super(message); this.name = "Unreachable"; this.isCut = isCut; }
}

/** The office answered with a refusal: `status`, `sentences`, and its `body`. */
export class Refusal extends Error {
  constructor(status, body) {
    const sentences = body.sentences?.length ? body.sentences : [`The office refused this (answer ${status}).`];
    super(sentences.join(" "));
    this.name = "Refusal";
    Object.assign(this, { status, body, sentences });
  }
}

let token = "";
let holder = null;
let reach = "unknown";

/** What the last contact was: unknown, reached, missed or signed_out. */
export function reached() { return reach; }

function note(value) {
  if (reach !== value) { reach = value; emit("field:state"); }
}

async function once(address, { method = "GET", json, bytes, headers = {} }) {
  const cut = new AbortController();
  const timer = setTimeout(() => cut.abort(), WAIT_MS);
  const sent = { ...headers, Accept: "application/json" };
  if (method !== "GET") { sent["X-CSRFToken"] = token; }
  if (json !== undefined) { sent["Content-Type"] = "application/json"; }
  if (bytes !== undefined) { sent["Content-Type"] = "application/octet-stream"; }
  try {
    const answer = await fetch(address, {
      method, headers: sent, body: json !== undefined ? JSON.stringify(json) : bytes,
      credentials: "same-origin", cache: "no-store", redirect: "manual", signal: cut.signal,
    });
    return await understood(answer);
  } catch (error) {
    if (error instanceof Unreachable) { throw error; }
    const isLate = error.name === "AbortError";
    throw new Unreachable(isLate ? "The office did not answer within 30 seconds." : "No way to the office just now.", { isCut: !isLate });
  } finally {
    clearTimeout(timer);
  }
}

// Where the line breaks at every second request, a round that begins with the same question would never come past its
// second one. Everything asked here may be asked again: records and photographs carry their own numbers.
async function twice(address, asked) {
  try {
    return await once(address, asked);
  } catch (error) {
    if (!error.isCut || !navigator.onLine) { throw error; }
    return once(address, asked);
  }
}

async function understood(answer) {
  const isOurs = (answer.headers.get("Content-Type") || "").includes("application/json");
  if (answer.status === 304) { return { status: 304, body: {}, size: 0, etag: "" }; }
  if (answer.status >= 500 || answer.status === 429 || answer.status === 408) {
    throw new Unreachable(`The office is busy or in trouble (answer ${answer.status}).`);
  }
  if (!isOurs) {
    throw new Unreachable("Something between here and the office answered instead of it: a sign-in page of a network, perhaps.");
  }
  const text = await answer.text();
  try {
    return { status: answer.status, body: JSON.parse(text), size: text.length, etag: answer.headers.get("ETag") || "" };
  } catch {
    throw new Unreachable("The answer of the office came in pieces.");
  }
}

/** Ask; {status, body, size, etag} of a good answer (or 304). Throws SignedOut, Unreachable or Refusal. */
export async function ask(address, asked = {}) {
  try {
    if (asked.method && asked.method !== "GET" && !token) { await whoami(); }
    let answer = await twice(address, asked);
    if (answer.status === 403 && answer.body.csrf) {
      const before = holder;
      await whoami();
      // Signed in anew by the same person it goes on; nothing meant for one is sent under another's name.
      if (before !== null && holder !== before) { throw new Unreachable("Somebody else has signed in on this device."); }
      answer = await twice(address, asked);
    }
    return judged(answer);
  } catch (error) {
    if (error instanceof Unreachable) { note("missed"); }
    throw error;
  }
}

function judged(answer) {
  if (answer.status === 401) { token = ""; note("signed_out"); throw new SignedOut(); }
  note("reached");
  if (answer.status < 400) { return answer; }
  throw new Refusal(answer.status, answer.body);
}

/** Bytes of a picture as a Blob, or null where it is not to be had. */
export async function askPicture(address) {
  const cut = new AbortController();
  const timer = setTimeout(() => cut.abort(), WAIT_MS);
  try {
    const answer = await fetch(address, { credentials: "same-origin", cache: "no-store", redirect: "manual", signal: cut.signal });
    const isPicture = answer.ok && (answer.headers.get("Content-Type") || "").startsWith("image/");
    return isPicture ? await answer.blob() : null;
  } catch {
    return null;
  } finally {
    clearTimeout(timer);
  }
}

/** Who is signed in, by the office; keeps name, agencies and the office's time. Throws as `ask` does. */
export async function whoami() {
  const askedAt = Date.now();
  let answer;
  try {
    answer = judged(await twice("/field/whoami/", {}));
  } catch (error) {
    if (error instanceof Unreachable) { note("missed"); }
    throw error;
  }
  const { person, agencies, csrf, server_time } = answer.body;
  [token, holder] = [csrf, person.id];
  await learnClock(server_time, askedAt, Date.now());
  const before = await setting("person");
  await setSetting("agencies", agencies);
  if (!before || before.id !== person.id || before.name !== person.name) { await setSetting("person", person); }
  if (before && before.id !== person.id) { emit("field:person", { before, person }); }
  return answer.body;
}

/** Sign out at the office; throws Unreachable where there is no way to it. */
export async function signOut() {
  await whoami();
  const cut = AbortSignal.timeout ? AbortSignal.timeout(WAIT_MS) : undefined;
  try {
    await fetch("/sign-out/", { method: "POST", headers: { "X-CSRFToken": token }, credentials: "same-origin", redirect: "manual", signal: cut });
  } catch {
    throw new Unreachable("No way to the office just now: you are still signed in.");
  }
  token = "";
  note("signed_out");
}

/** Whom to call, of all agencies of the person, as last heard: [{role, name, phone, note}]. */
export async function contacts() {
  return ((await setting("agencies")) || []).flatMap((agency) => agency.contacts || []);
}
