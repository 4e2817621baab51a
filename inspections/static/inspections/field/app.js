// The app on the device: opens the store, shows the page the address asks for, keeps the state in view.
import { recallClock } from "./clock.js";
import { SIGN_IN, contacts, reached, whoami } from "./office.js";
import { holdForm, holdWork, isFormHeld, isWaiting, lookForNewer, startWorker, takeNewer } from "./registration.js";
import { keepOnDevice, sendAll, sendingState } from "./sender.js";
import { getPack, getWork, openStore, setting, unsentCount } from "./store.js";
import { callPage } from "./shell/call.js";
import { button, fill, h, link, setActions } from "./shell/dom.js";
import { listPage } from "./shell/list.js";
import { packPage } from "./shell/pack.js";
import { startPage } from "./shell/start.js";
import { unsentPage } from "./shell/unsent.js";
import { unsentWords } from "./shell/words.js";

const MINUTE_MS = 60000;
// Fetched at the start, so that no file is asked for in the middle of a form; a fault in it stops no sending.
const formReady = import("./form/form.js").then((form) => ({ form }), (error) => ({ error }));
const content = document.getElementById("content");
const notes = document.getElementById("notes");
let leave = null;
let turn = 0;

async function workPage(container, identity) {
  const work = await getWork(identity);
  // Put together with another's at the office: what this device holds is no longer what stands there.
  if (!work || work.is_over) { await lost(container, "This record is no longer on this device: the office has it."); return null; }
  if (!(await holdWork(identity))) { await lost(container, "This record is open in another window of this app. Go on there, or close it there and open it here again."); return null; }
  const { form } = await formOr(container);
  if (!form) { return null; }
  await keepOnDevice(identity);
  const pack = work.structure ? await getPack(work.structure) : null;
  holdForm(true);
  return work.kind === "critical"
    ? form.showCritical(container, pack || null, await contacts(), work)
    : form.showWork(container, work, pack || null, (await setting("table")) || null);
}

async function criticalPage(container, structure) {
  const { form } = await formOr(container);
  if (!form) { return null; }
  // The form makes its work itself, and adds to it after the first sending.
  await keepOnDevice("all");
  holdForm(true);
  return form.showCritical(container, structure ? (await getPack(structure)) || null : null, await contacts());
}

async function formOr(container) {
  const found = await formReady;
  if (found.error) { await lost(container, `The form could not be opened (${found.error.message}). Unsent work is safe and can be sent or saved to a file. Reload this page with a signal.`); }
  return found;
}

async function lost(container, words) {
  fill(container, h("h1", {}, "Not here"), h("p", {}, words));
  setActions(link("All structures", "#/"), link("Unsent work", "#/unsent", { class: "second" }));
}

const ROUTES = [
  [/^#?\/?$/, listPage], [/^#\/pack$/, packPage], [/^#\/unsent$/, unsentPage], [/^#\/call$/, callPage],
  [/^#\/entry\/([0-9a-f-]+)$/, workPage], [/^#\/critical\/?(\d*)$/, criticalPage],
  [/^#\/start\/(\d+)$/, async (container, id) => { const { form } = await formOr(container); if (form) { await startPage(container, id, form); } }],
];

async function show({ focus = true } = {}) {
  const mine = (turn += 1);
  await close();
  if (mine !== turn) { return; }
  const found = ROUTES.map(([pattern, page]) => [pattern.exec(window.location.hash), page]).find(([match]) => match);
  // A page of its own for each showing: one that comes late cannot write over a newer one.
  const page = h("div", { class: "page" });
  setActions();
  fill(content, page);
  try {
    leave = await (found ? found[1](page, found[0][1]) : lost(page, "There is no such page in the app."));
  } catch (error) {
    await lost(page, error.message);
  }
  if (mine !== turn) { return; }
  const head = page.querySelector("h1");
  document.title = `${head ? head.textContent : "In the field"} · Spanledger`;
  if (focus) { window.scrollTo(0, 0); (head || content).setAttribute("tabindex", "-1"); (head || content).focus({ preventScroll: true }); }
  showNewer();
}

async function close() {
  const leaving = leave;
  leave = null;
  try { await (typeof leaving === "function" ? leaving() : leaving?.close?.()); } catch { /* told by the store */ }
  holdForm(false);
  await keepOnDevice(null);
}

/** One note at the top by its key; null takes it away. */
function note(key, made) {
  const before = document.getElementById(`note-${key}`);
  if (!made) { before?.remove(); return; }
  const box = h("div", { class: "note", id: `note-${key}` }, made);
  if (before) { before.replaceWith(box); } else { notes.append(box); }
}

function showNewer() {
  if (!isWaiting()) { note("newer", null); return; }
  const words = h("p", {}, "A new version is ready. What is on this device stays.");
  note("newer", isFormHeld() ? h("p", {}, "A new version is ready. It waits until this form is closed.") : [words, button("Use it now", async () => {
    if (!(await takeNewer())) { words.textContent = "A form is open in another window. Close it first; nothing is lost."; }
  }, { class: "second" })]);
}

async function showCount() {
  try { document.getElementById("unsent-count").textContent = unsentWords(await unsentCount()); } catch (error) { document.getElementById("unsent-count").textContent = error.message; }
}

function showLine() {
  const { state, words } = sendingState();
  const reach = reached();
  const line = !navigator.onLine ? "▽ Offline" : reach === "signed_out" ? "◇ Signed out" : reach === "missed" ? "▽ Office not reached" : "△ Online";
  const box = document.getElementById("line");
  if (box.textContent !== line) { box.textContent = line; }
  const sending = document.getElementById("sending");
  const said = state === "idle" ? "" : state === "waiting" ? "Waiting to try again" : words;
  if (sending.textContent !== said) { sending.textContent = said; }
  const inFull = document.getElementById("sending-words");
  if (inFull) { inFull.textContent = words || "Sending goes by itself when there is a signal."; }
  note("signed-out", reach === "signed_out" ? [h("p", {}, "Sign in again to send; nothing is lost."), link("Sign in", SIGN_IN)] : null);
}

let refreshing = null;
// Pages of lists follow what changes under them; a form never does.
const isListShown = () => /^#\/unsent$|^#?\/?$/.test(window.location.hash);
function refreshPage() {
  clearTimeout(refreshing);
  refreshing = setTimeout(() => { if (isListShown()) { show({ focus: false }); } }, 150);
}

function listen() {
  window.addEventListener("hashchange", () => show());
  for (const name of ["online", "offline"]) { window.addEventListener(name, showLine); }
  window.addEventListener("online", () => send("online"));
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") { send("visible"); lookForNewer(); } });
  setInterval(() => send("timer"), 2 * MINUTE_MS);
  setInterval(lookForNewer, 60 * MINUTE_MS);
  document.addEventListener("field:signal", () => send("online"));
  document.addEventListener("field:unsent", () => { showCount(); refreshPage(); });
  document.addEventListener("field:answered", refreshPage);
  document.addEventListener("field:state", showLine);
  document.addEventListener("field:newer", showNewer);
  document.addEventListener("field:blocked", () => note("store", h("p", {}, "Another window of this app is open in an older version. It is asked to save and let go; close it if this stays.")));
  document.addEventListener("field:opened", () => note("store", null));
  document.addEventListener("field:trouble", (event) => note("trouble", trouble(event.detail)));
  document.addEventListener("field:person", (event) => note("person", [h("p", {}, `${event.detail.person.name} is signed in; before, ${event.detail.before.name} used this device. Unsent work of ${event.detail.before.name} stays here under that name.`), link("See unsent work", "#/unsent", { class: "second" })]));
}

function trouble({ kind, sentence }) {
  return [h("p", { role: "alert" }, sentence), kind === "full" ? link("Unsent work", "#/unsent", { class: "second" }) : null, button("Seen", () => note("trouble", null), { class: "second" })];
}

function send(reason) {
  showLine();
  return sendAll({ reason });
}

function offWithoutTls() {
  fill(content, h("h1", {}, "Offline entry is off"),
    h("p", {}, "This page came over plain HTTP from another machine. A browser lets a page work without a signal only where the connection is encrypted."),
    h("p", {}, "Whoever runs the site turns it on with a certificate: ", h("code", {}, "ops/serve --host 0.0.0.0 --cert site.pem --key site.key"), "."),
    h("p", {}, "Until then enter inspections with a signal in the ordinary form."),
    h("ul", { class: "sentences" }, h("li", {}, "If a span looks unsafe: stay, block the road, call, and only then record.")));
  document.getElementById("unsent-count").textContent = "Offline entry is off";
  document.getElementById("line").textContent = "";
  setActions(link("The ordinary form", "/inspections/"), link("Structures", "/structures/", { class: "second" }));
}

async function start() {
  document.getElementById("skip").addEventListener("click", (event) => { event.preventDefault(); content.focus(); });
  if (!window.isSecureContext) { offWithoutTls(); return; }
  listen();
  showLine();
  try { await openStore(); } catch (error) {
    fill(content, h("h1", {}, "Nothing can be kept here"), h("p", { class: "caution" }, error.message));
    setActions(link("The ordinary form", "/inspections/"));
    return;
  }
  await recallClock();
  await Promise.all([show({ focus: false }), showCount()]);
  const without = await startWorker();
  if (without) { note("worker", h("p", {}, without)); }
  if (navigator.onLine) { try { await whoami(); } catch { /* said in the line above */ } refreshPage(); }
  await send("load");
  document.body.dataset.started = "yes";
}

start();
