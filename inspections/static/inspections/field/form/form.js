// The form of one visit: its parts, its saving, its handing in. The shell calls it; it knows no addresses.
import { sendAll } from "../sender.js";
import { getWork } from "../store.js";
import { askedPart } from "./asked.js";
import { Autosave } from "./autosave.js";
import { barsPart } from "./bars.js";
import { channelPart, soundedPoints } from "./channel.js";
import { elementsPart } from "./elements.js";
import { clockWords, fill, h, moveTo } from "./fields.js";
import { findingsPart } from "./findings.js";
import { finishPart } from "./finish.js";
import { frozenView } from "./frozen.js";
import { lastTimePart } from "./last-time.js";
import { photosPart } from "./photos.js";
import { ratingsPart } from "./ratings.js";
import { Sheet } from "./sheet.js";
import { headOf, notesPart, visitPart } from "./visit.js";
import { barePack, completed } from "./work.js";
import { WORDS } from "./words.js";

export { showCritical } from "./critical.js";
export { startInspection, workOfDraft } from "./work.js";

const KIND_WORDS = Object.fromEntries(WORDS.inspection_kinds);
const HEARD_AFTER_MS = 30_000;
let current = null;

/** Show one work in `container`. `pack` and `table` may be null. Gives {close}, which saves what is not saved yet. */
export function showWork(container, work, pack, table) {
  current?.close();
  const stop = new AbortController();
  const shown = { close: () => { stop.abort(); if (current === shown) current = null; return saver?.flush(); } };
  let saver = null;
  current = shown;
  completed(work);
  const live = h("p", { class: "visually-hidden", "aria-live": "polite" });
  const say = (words) => { live.textContent = words; };
  const body = h("div", { class: "field-form" });
  fill(container, body, live);
  const kindWords = KIND_WORDS[work.body.inspection.kind] ?? "Inspection";

  const showOpen = () => {
    const status = statusLine(say);
    saver = new Autosave(work, status.tell, stop.signal);
    const sheet = new Sheet({ work, pack: pack ?? barePack(work), table, saver, say, signal: stop.signal });
    sheet.go = (id) => moveTo(body.querySelector(`#${id} h2`));
    fill(body, ...partsOf(sheet, kindWords, () => handIn(sheet)));
    keepInView(body, status.element);
    sheet.on("points", status.points);
    status.jump(() => sheet.go("finish"));
    sheet.readPhotos().catch(() => say("The photographs on this device cannot be read just now."));
    saver.touch();
    saver.flush();
    return sheet;
  };
  const showFrozen = (stored) => {
    const head = h("h1", { id: "form-title" }, `${work.number} `, h("span", {}, `${kindWords} inspection`));
    const view = frozenView(stored, head, async () => {
      Object.assign(work, completed(await getWork(work.identity)), { state: "open" });
      work.body.inspection.submit = false;
      showOpen();
      moveTo(body.querySelector("h1"));
    });
    fill(body, view.element);
    keepInView(body);
    return view;
  };
  const handIn = async (sheet) => {
    if (work.state === "ready") return;
    work.body.inspection.submit = true;
    for (const row of sheet.channel) row.points = soundedPoints(row.points);
    work.body.channel = sheet.channel.filter((row) => row.points.length);
    work.state = "ready";
    sheet.saver.touch();
    if (!(await sheet.saver.flush())) {
      work.state = "open";
      say("Not handed in: this device could not save it. It is tried again by itself.");
      return;
    }
    showFrozen((await getWork(work.identity)) ?? work).focus();
    say("Handed in and kept on this device.");
    Promise.resolve(sendAll({ reason: "handed-in" })).catch(() => {});
  };
  document.addEventListener("field:answered", async ({ detail }) => {
    if (detail?.identity !== work.identity || work.state === "open") return;
    const stored = await getWork(work.identity);
    if (stored && current === shown) showFrozen(stored);
  }, { signal: stop.signal });
  if (work.state === "open") showOpen();
  else showFrozen(work);
  return shown;
}

function partsOf(sheet, kindWords, handIn) {
  const kind = sheet.inspection.kind;
  const bars = barsPart(sheet);
  const channel = channelPart(sheet);
  const middle = [lastTimePart(sheet), findingsPart(sheet), bars, elementsPart(sheet), ratingsPart(sheet), channel];
  if (kind === "bar_check" && bars) middle.unshift(...middle.splice(middle.indexOf(bars), 1));
  if (["underwater", "scour"].includes(kind) && channel) middle.unshift(...middle.splice(middle.indexOf(channel), 1));
  const parts = [askedPart(sheet), visitPart(sheet), ...middle, notesPart(sheet), photosPart(sheet), finishPart(sheet, handIn)].filter(Boolean);
  const ways = h("nav", { class: "form-parts", "aria-label": "Parts of the form" }, parts.map((one) =>
    h("button", { type: "button", class: "second chip", onclick: () => sheet.go(one.id) }, one.dataset.short)));
  return [headOf(sheet, kindWords), ways, ...parts];
}

/** Into the shell's line at the bottom of the screen, or to the end of the form where there is none. */
function keepInView(body, ...elements) {
  const line = document.getElementById("actions");
  if (line) line.replaceChildren(...elements);
  else body.append(...elements);
}

/** The line that stays in view: whether all is saved, and how much is missing. */
function statusLine(say) {
  let heardAt = 0;
  const saved = h("p", { class: "saved" }, "Not changed yet");
  const alert = h("p", { class: "not-saved", role: "alert", hidden: true });
  const missing = h("button", { type: "button", class: "second" }, "Finish");
  const element = h("div", { class: "form-status" }, alert, saved, missing);
  return {
    element,
    tell: ({ state, at, words }) => {
      // A reader hears of saving now and then, not at every pause of the typing.
      if (state === "saved" && at - heardAt > HEARD_AFTER_MS) { heardAt = at; say("What you typed is kept."); }
      alert.hidden = state !== "failed";
      alert.textContent = state === "failed" ? words : "";
      saved.hidden = state === "failed";
      saved.textContent = state === "saved" ? `✓ Saved on this device ${clockWords(at)}` : "Saving …";
    },
    points: ({ missing: number }) => { missing.textContent = number ? `▲ ${number} missing` : "✓ Finish"; },
    jump: (go) => missing.addEventListener("click", go),
  };
}
