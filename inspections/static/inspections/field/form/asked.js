// What was asked for when an inspection was sent back: just those items first, the whole form below.
import { button, choiceField, fill, h, part, textField } from "./fields.js";
import { sizeField } from "./finding.js";
import { photoBox } from "./photos.js";
import { placeFields } from "./place.js";
import { FACE, KIND, METHOD, placeWords } from "./sheet.js";
import { NUMBERS } from "./work.js";

const isGiven = (value) => value !== null && value !== undefined && value !== "";
const PART_OF = { leader: "visit", team: "visit", weather: "visit", air_temp_f: "visit", field_completed_on: "visit", notes: "notes", elements: "elements", channel: "channel", bar: "bars" };

const key = (item) => `${item.finding || ""}|${item.field || ""}|${item.words || ""}`;
const isAnswered = (sheet, item) => Boolean(item.answered || item.why_not || sheet.work.local.asked[key(item)]);

export function askedPart(sheet) {
  const items = (sheet.inspection.asked || []).filter((item) => !item.answered);
  if (!items.length && !sheet.work.review_reason) return null;
  const count = h("p", { class: "count", role: "status" });
  const tell = () => {
    const left = items.filter((item) => !isAnswered(sheet, item)).length;
    count.textContent = items.length ? (left ? `${left} of ${items.length} still to answer.` : "✓ All that was asked is answered. Hand it in at the end of the page.") : "";
  };
  const settle = (item, line) => () => {
    sheet.work.local.asked[key(item)] = true;
    line();
    tell();
    sheet.changed("asked");
  };
  tell();
  return part("asked", "Sent back: what is asked for",
    sheet.work.review_reason ? h("p", { class: "refusal" }, sheet.work.review_reason) : null, count,
    h("ol", { class: "finding-list" }, items.map((item) => card(sheet, item, settle, tell))));
}

function card(sheet, item, settle, tell) {
  const finding = sheet.findings.find((row) => row.identity === item.finding) || null;
  const state = h("p", { class: "status-line", role: "status" });
  const line = () => fill(state, isAnswered(sheet, item) ? h("span", { class: "whole" }, "✓ answered") : h("strong", { class: "lacking" }, "▲ to answer"));
  const done = settle(item, line);
  line();
  const place = finding ? [KIND[finding.kind], placeWords(sheet, finding)].filter(Boolean).join(", ") : "";
  return h("li", { class: "card", "data-asked": item.field || "words" }, h("h3", {}, item.words || "Look at this again"),
    place ? h("p", {}, place) : null, field(sheet, item, finding, done),
    textField({ name: "why_not", label: "It cannot be given, because", value: item.why_not, most: 300, onValue: (words) => { item.why_not = words.trim(); line(); tell(); sheet.changed("asked"); } }), state,
    h("p", { class: "acts" }, button("It is answered", done, "second"),
      finding ? button("Open the whole finding", () => { sheet.go("findings"); sheet.openFinding?.(finding.identity); }, "second") : null));
}

function field(sheet, item, finding, done) {
  const name = item.field;
  if (name === "photo") {
    const box = photoBox(sheet, finding?.identity ?? null, "asked for");
    sheet.on("photos", () => { if (sheet.photosFor(finding?.identity ?? null)?.length && !isAnswered(sheet, item)) done(); });
    return box;
  }
  if (!finding) {
    const to = name.endsWith("_rating") ? "ratings" : PART_OF[name];
    return to ? button("Go there", () => { sheet.go(to); done(); }) : null;
  }
  const heard = () => { sheet.changed("finding", finding.identity); if (isGiven(finding[name])) done(); };
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
