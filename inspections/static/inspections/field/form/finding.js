// One finding open: its place, its sizes, its photograph, what is still missing and what is asked.
import { button, choiceField, fill, h, numberField, textField } from "./fields.js";
import { photoBox } from "./photos.js";
import { placeFields } from "./place.js";
import { FACE, KIND, METHOD } from "./sheet.js";
import { NUMBERS } from "./work.js";

export const PLACES = ["span_index", "member", "member_number", "bar", "station_ft", "across_ft", "extent_ft"];
const BY_CHOICE = ["face", "force_method", "condition_state"];
const STATES = [[1, "1 good"], [2, "2 fair"], [3, "3 poor"], [4, "4 severe"]];
const STEPS = { in: 0.25, ft: 0.5, "%": 1, lb: 500, psi: 100, F: 5, "us/ft": 10 };
const FINER = { value_in: 0.125, moisture_depth_in: 0.5, member_number: 1 };
const ASK_AFTER_MS = 700;

/** Fields of a kind in the order in which they are asked; without a table all of them, none needed. */
export function fieldsOf(sheet, kind) {
  const row = sheet.row(kind);
  const shown = row ? row.shown ?? [...row.needs, ...row.asks] : [...PLACES, ...NUMBERS, "face"];
  return { needs: new Set(row?.needs ?? []), shown: [...new Set(shown)].filter((name) => !sheet.waived.includes(name)), how: row?.how ?? "", faces: row?.faces ?? [] };
}

/** A number field of a finding, with words and unit of the table; the text is kept while it is no number. */
export function sizeField(sheet, finding, name, { need, label, heard }) {
  const reading = sheet.reading(name);
  const key = `${finding.identity}.${name}`;
  return numberField({
    name, need, label: label || reading.title || reading.label || name.replaceAll("_", " "), unit: reading.sign || reading.unit || "",
    value: finding[name], typed: sheet.typed[key], step: FINER[name] ?? STEPS[reading.unit] ?? 1, whole: reading.whole,
    least: reading.least < 0 ? undefined : reading.least ?? undefined,
    onValue: (number, text) => {
      sheet.keepTyped(key, text);
      finding[name] = number;
      heard(name);
    },
  });
}

/** The live list of what is missing, what is wrong and what is asked of one finding. `refresh()` looks again. */
export function evidenceBox(sheet, finding) {
  const missing = h("div", { class: "still", role: "status" });
  const told = h("div", { class: "told", "aria-live": "polite" });
  let said = null;
  let timer = null;
  const look = () => {
    const lacking = sheet.missing(finding).map((one) => one.words.replace(/,$/, ""));
    const words = lacking.join("|");
    if (words === said) return;
    said = words;
    missing.classList.toggle("is-whole", lacking.length === 0);
    if (!sheet.table) fill(missing, h("p", {}, "The evidence table is not on this device: the office will say what is missing."));
    else if (!lacking.length) fill(missing, h("p", {}, "✓ Nothing is missing for this finding."));
    else fill(missing, h("p", {}, "Still missing:"), h("ul", {}, lacking.map((one) => h("li", {}, one))));
  };
  const ask = () => {
    const grave = sheet.isGrave(finding) ? [h("p", { class: "caution" }, sheet.table.before_recording, " ", h("a", { href: `#/critical/${sheet.pack.structure.id ?? ""}` }, "Whom to call"))] : [];
    const faults = sheet.faults(finding).map(({ words }) => h("p", { class: "fault" }, words));
    const asked = sheet.questions(finding).map(({ key, words }) => h("div", { class: "asked" }, h("p", {}, words),
      button("It is so", () => { sheet.answer(key); ask(); }, "second")));
    fill(told, grave, faults, asked);
  };
  const refresh = ({ atOnce = false } = {}) => {
    look();
    clearTimeout(timer);
    if (atOnce) ask();
    else timer = setTimeout(ask, ASK_AFTER_MS);
  };
  refresh({ atOnce: true });
  return { element: h("div", { class: "evidence" }, missing, told), refresh };
}

const isSize = (name) => NUMBERS.includes(name) && (name === "extent_ft" || !PLACES.includes(name));

/** A size that is not last time's any more says by itself whether the finding has grown. */
function changeNow(finding, before, name) {
  const [is, was] = [finding[name], before?.[name]];
  if (!Number.isFinite(is) || !Number.isFinite(was)) return finding.change;
  if (is === was) return finding.change || "same";
  return is > was ? "grown" : "less";
}

/** The whole editor of one finding; `onDone` and `onRemove` are the two ways out. */
export function findingEditor(sheet, finding, { onDone, onRemove }) {
  const { needs, shown, how, faces } = fieldsOf(sheet, finding.kind);
  const evidence = evidenceBox(sheet, finding);
  const heard = (name) => {
    const before = sheet.before(finding);
    if (before && isSize(name)) finding.change = changeNow(finding, before, name);
    sheet.changed("finding", finding.identity);
    evidence.refresh();
  };
  const keep = (name, value) => { finding[name] = value; heard(name); };
  const wants = (name) => (needs.has(name) ? "needs" : shown.includes(name) ? "asks" : "");
  const number = (name) => sizeField(sheet, finding, name, { need: needs.has(name), heard });
  const sizes = shown.filter((name) => NUMBERS.includes(name) && !PLACES.includes(name) && !BY_CHOICE.includes(name));
  const ordered = [...sizes.filter((name) => needs.has(name)), ...sizes.filter((name) => !needs.has(name))];
  const face = shown.includes("face") && choiceField({
    name: "face", label: "Face", need: needs.has("face"), value: finding.face, onValue: (code) => keep("face", code),
    choices: Object.entries(FACE).filter(([code]) => !faces.length || faces.includes(code)),
  });
  const method = shown.includes("force_method") && choiceField({
    name: "force_method", label: "How the force was read", value: finding.force_method, choices: Object.entries(METHOD), onValue: (code) => keep("force_method", code),
  });
  const state = choiceField({
    name: "condition_state", label: "Condition state", choices: STATES, value: finding.condition_state ?? "",
    onValue: (code) => keep("condition_state", code === "" ? null : Number(code)),
  });
  const stop = new AbortController();
  sheet.heard.addEventListener("photos", () => evidence.refresh({ atOnce: true }), { signal: stop.signal });
  const leave = (way) => () => { stop.abort(); way(); };
  return h("div", { class: "editor" },
    how ? h("p", { class: "how" }, how) : null,
    evidence.element,
    h("fieldset", {}, h("legend", {}, "Place"), placeFields(sheet, finding, { wants, keep, number })),
    h("fieldset", {}, h("legend", {}, "What was measured"), face || null, ordered.map(number), method || null, state),
    h("fieldset", {}, h("legend", {}, "Photograph and note"), photoBox(sheet, finding.identity, `of ${KIND[finding.kind]?.toLowerCase()}`),
      textField({ name: "note", label: "Note", value: finding.note, rows: 2, most: 400, need: needs.has("note"), onValue: (words) => keep("note", words) })),
    h("p", { class: "acts" }, button("Done with this finding", leave(onDone), "big"), button("Remove it", leave(onRemove), "second")));
}

