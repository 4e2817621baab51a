// What was asked for when an inspection was sent back: just those items first, the whole form below.
import { button, choiceField, fill, h, part, textField } from "./fields.js";
import { sizeField } from "./finding.js";
import { photoBox } from "./photos.js";
import { placeFields } from "./place.js";
import { FACE, KIND, METHOD, placeWords } from "./sheet.js";
import { NUMBERS } from "./work.js";

const isGiven = (value) => value !== null && value !== undefined && value !== "";
const PART_OF = { leader: "visit", team: "visit", weather: "visit", air_temp_f: "visit", field_completed_on: "visit", notes: "notes", elements: "elements", channel: "channel", bar: "bars" };

/** Whether the office will take a row as answered: something else stands in its field than stood there when it was asked,
    a photograph is there, or it is said why there is none. */
function isAnswered(sheet, item) {
  if (item.answered || item.why_not) return true;
  if (item.field === "photo") return sheet.photosFor(item.finding || null).length > 0;
  if (!item.field) return false;
  const holder = item.finding ? sheet.findings.find((row) => row.identity === item.finding) : sheet.inspection;
  const now = holder?.[item.field];
  return isGiven(now) && String(now) !== String(item.was ?? "");
}

export function askedPart(sheet) {
  const items = (sheet.inspection.asked || []).filter((item) => !item.answered);
  if (!items.length && !sheet.work.review_reason) return null;
  const count = h("p", { class: "count", role: "status" });
  const tell = () => {
    const left = items.filter((item) => !isAnswered(sheet, item)).length;
    count.textContent = items.length ? (left ? `${left} of ${items.length} still to answer.` : "✓ All that was asked is answered. Hand it in at the end of the page.") : "";
  };
  const lines = [];
  const look = () => { tell(); lines.forEach((line) => line()); };
  sheet.on("change", look);
  sheet.on("photos", look);
  tell();
  return part("asked", "Sent back: what is asked for",
    sheet.work.review_reason ? h("p", { class: "refusal" }, sheet.work.review_reason) : null, count,
    h("ol", { class: "finding-list" }, items.map((item) => card(sheet, item, lines))));
}

function card(sheet, item, lines) {
  const finding = sheet.findings.find((row) => row.identity === item.finding) || null;
  const state = h("p", { class: "status-line", role: "status" });
  lines.push(() => {
    const words = isAnswered(sheet, item) ? "✓ answered" : "▲ to answer";
    if (state.textContent !== words) fill(state, h("strong", { class: words.startsWith("✓") ? "whole" : "lacking" }, words));
  });
  lines.at(-1)();
  const place = finding ? [KIND[finding.kind], placeWords(sheet, finding)].filter(Boolean).join(", ") : "";
  const label = item.field ? "It cannot be given, or is as before, because" : "Your answer";
  return h("li", { class: "card", "data-asked": item.field || "words" }, h("h3", {}, item.words || "Look at this again"),
    place ? h("p", {}, place) : null, field(sheet, item, finding),
    textField({ name: "why_not", label, value: item.why_not, most: 300, onValue: (words) => { item.why_not = words.trim(); sheet.changed("asked"); } }), state,
    finding ? h("p", { class: "acts" }, button("Open the whole finding", () => { sheet.go("findings"); sheet.openFinding?.(finding.identity); }, "second")) : null);
}

function field(sheet, item, finding) {
  const name = item.field;
  if (name === "photo") return photoBox(sheet, finding?.identity ?? null, "asked for");
  if (!name) return null;
  if (!finding) {
    const to = name.endsWith("_rating") ? "ratings" : PART_OF[name];
    return to ? button("Go there", () => sheet.go(to), "second") : null;
  }
  const heard = () => sheet.changed("finding", finding.identity);
  const keep = (column, value) => { finding[column] = value; heard(); };
  if (["span_index", "member", "member_number", "bar", "station_ft", "extent_ft"].includes(name)) {
    const wants = (column) => (column === name ? "needs" : name === "member_number" && column === "member" ? "asks" : "");
    return placeFields(sheet, finding, { wants, keep, number: (column) => sizeField(sheet, finding, column, { need: true, heard }) });
  }
  if (NUMBERS.includes(name) && name !== "condition_state") return sizeField(sheet, finding, name, { need: true, heard });
  if (name === "note") return textField({ name, label: "Note", value: finding.note, rows: 2, most: 400, onValue: (words) => keep("note", words) });
  const choices = { face: Object.entries(FACE), force_method: Object.entries(METHOD), condition_state: [[1, "1 good"], [2, "2 fair"], [3, "3 poor"], [4, "4 severe"]] }[name];
  return choices ? choiceField({ name, label: sheet.reading(name).title || "Now", choices, value: finding[name] ?? "", onValue: (code) => keep(name, code === "" ? null : code) }) : null;
}
