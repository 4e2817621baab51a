// Last time's findings: as before, grown, less or gone by one press; grown and less ask for the sizes alone.
import { getPackPhoto } from "../store.js";
import { fill, h, part, SECOND_TAP_MS, textField } from "./fields.js";
import { evidenceBox, fieldsOf, PLACES, sizeField } from "./finding.js";
import { photoBox, thumbnailOf } from "./photos.js";
import { CHANGE, KIND, keyOf, placeWords, sizeWords } from "./sheet.js";
import { carriedFinding, NUMBERS } from "./work.js";

const ANSWERS = [["same", "="], ["grown", "▲"], ["less", "▽"], ["gone", "✕"]];

/** Last time's findings that are asked about one by one; bar forces are read anew in their own part. */
export const standing = (sheet) => (sheet.pack.findings || []).filter((row) => row.kind !== "bar_force");

export const answerTo = (sheet, before) => sheet.findings.find((row) => sheet.before(row) === before) || null;

export function lastTimePart(sheet) {
  const rows = standing(sheet);
  const count = h("p", { class: "count", role: "status" });
  const tell = () => {
    const done = rows.filter((row) => answerTo(sheet, row)).length;
    count.textContent = rows.length ? `${done} of ${rows.length} answered.` : "No finding stands from last time.";
  };
  tell();
  sheet.on("change", ({ what }) => { if (what === "findings" || what === "carried") tell(); });
  return part("last-time", "Last time's findings", count, h("ol", { class: "finding-list" }, rows.map((row, place) => beforeCard(sheet, row, place + 1))));
}

function beforeCard(sheet, before, number) {
  const more = h("div", { class: "grown" });
  const answers = ANSWERS.map(([change, sign]) => h("button", {
    type: "button", class: "second answer", "aria-pressed": "false", "data-change": change, onclick: () => press(change),
  }, h("span", { "aria-hidden": "true" }, `${sign} `), CHANGE[change]));
  const look = () => {
    const now = answerTo(sheet, before);
    for (const one of answers) one.setAttribute("aria-pressed", String(now?.change === one.dataset.change));
  };
  let since = 0;
  const press = (change) => {
    const now = answerTo(sheet, before);
    // A second tap of a glove is no wish to take the answer back.
    if (now?.change === change && performance.now() - since < SECOND_TAP_MS) return;
    since = performance.now();
    if (now?.change === change) sheet.work.local.removed.push(...sheet.findings.splice(sheet.findings.indexOf(now), 1));
    else if (now) settle(now, before, change);
    else take(sheet, before, change);
    look();
    fill(more, sizesAsked(sheet, before));
    sheet.changed("carried", keyOf(before));
    const stands = answerTo(sheet, before);
    sheet.say(stands ? `Finding ${number}: ${CHANGE[change]}.` : `Finding ${number}: answer taken back.`);
  };
  look();
  fill(more, sizesAsked(sheet, before));
  sheet.on("change", ({ what }) => { if (what === "findings" || what === "finding") { look(); if (!answerTo(sheet, before)) fill(more); } });
  const words = before.words || [placeWords(sheet, before), sizeWords(before), before.note].filter(Boolean).join(". ");
  return h("li", { class: "card before", "data-before": keyOf(before) },
    h("h3", {}, h("span", { class: "balloon", "aria-hidden": "true" }, String(number)), ` ${KIND[before.kind] ?? "Finding"}`),
    h("p", {}, words), picture(sheet, before),
    h("div", { class: "answers", role: "group", "aria-label": `Finding ${number} now` }, answers), more);
}

/** The answer taken back before comes again as it was, with its sizes and photographs. */
function take(sheet, before, change) {
  const { removed, carried } = sheet.work.local;
  const place = removed.findIndex((row) => carried?.[row.identity] === keyOf(before));
  if (place >= 0) {
    const [again] = removed.splice(place, 1);
    sheet.findings.push(again);
    settle(again, before, change);
    return;
  }
  const finding = carriedFinding(before, change);
  sheet.findings.push(finding);
  (sheet.work.local.carried ??= {})[finding.identity] = keyOf(before);
}

/** Another answer about the same finding: sizes go back to last time's where nothing has grown or shrunk. */
function settle(now, before, change) {
  now.change = change;
  if (change === "same" || change === "gone") for (const name of NUMBERS) now[name] = before[name] ?? null;
}

function picture(sheet, before) {
  const id = before.photo ?? (sheet.pack.photos || []).find((photo) => photo.finding && photo.finding === before.identity)?.id;
  if (!id) return null;
  const caption = (sheet.pack.photos || []).find((photo) => photo.id === id)?.caption;
  const frame = h("div", { class: "last-photo" });
  getPackPhoto(id).then(async (blob) => { if (blob) fill(frame, await thumbnailOf(blob, `Last time's photograph${caption ? `: ${caption}` : ""}`, 240)); }).catch(() => {});
  return frame;
}

function sizesAsked(sheet, before) {
  const now = answerTo(sheet, before);
  if (!now || !["grown", "less"].includes(now.change)) return [];
  const evidence = evidenceBox(sheet, now);
  const heard = () => { sheet.changed("finding", now.identity); evidence.refresh(); };
  const { shown, needs } = fieldsOf(sheet, now.kind);
  const sizes = shown.filter((name) => NUMBERS.includes(name) && (name === "extent_ft" || !PLACES.includes(name)) && (needs.has(name) || before[name] !== null && before[name] !== undefined));
  return [
    h("p", { class: "hint" }, "The sizes of last time stand here: change those that are different now."),
    ...sizes.filter((name) => name !== "condition_state").map((name) => sizeField(sheet, now, name, { need: needs.has(name), heard })),
    textField({ name: "note", label: "Note", value: now.note, most: 400, onValue: (words) => { now.note = words; heard(); } }),
    photoBox(sheet, now.identity, `of ${KIND[now.kind]?.toLowerCase()}`), evidence.element,
  ];
}
