// A tiny maker of elements, and the fields the form is made of. Text is always set as text, never as markup.
let made = 0;
export const newName = (stem) => `${stem}-${++made}`;

/** One element: attributes by name, `on` handlers as functions, children as nodes or text. */
export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked") element[name] = value;
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** Put children in place of what an element holds. */
export const fill = (element, ...children) =>
  element.replaceChildren(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== false));

/** Move keyboard and reader to a new part. */
export function moveTo(element, { align = "start" } = {}) {
  if (!element) return;
  if (!element.matches("input, select, textarea, button, a[href], summary")) element.setAttribute("tabindex", "-1");
  element.focus({ preventScroll: true });
  element.scrollIntoView({ block: align, behavior: "auto" });
}

const FRACTION = /^(?:(\d{1,4})[\s-]+)?(\d{1,3})\s*\/\s*(\d{1,3})$/;
const PLAIN = /^[+-]?(\d{1,9}(\.\d{0,6})?|\.\d{1,6})$/;

/** The number written as 5.25, 5-1/4, 5 1/4, 41,000 or, on a pad that has only a comma, 5,25; null where it is none. */
export function numberFrom(text) {
  let words = String(text).trim().replace("−", "-");
  if (/^[+-]?\d{1,3}(,\d{3})+(\.\d+)?$/.test(words)) words = words.replaceAll(",", "");
  else if (/^[+-]?\d*,\d{1,6}$/.test(words)) words = words.replace(",", ".");
  if (PLAIN.test(words)) return Number(words);
  const parts = FRACTION.exec(words);
  return parts && Number(parts[3]) ? Number(parts[1] || 0) + Number(parts[2]) / Number(parts[3]) : null;
}

/** A number the way it is written back: no more than four decimals. */
export const figure = (value) =>
  value === null || value === undefined || value === "" ? "" : String(Math.round(Number(value) * 1e4) / 1e4);

export const grouped = (value) => Math.round(value).toLocaleString("en-US");

function frame(name, label, { need, help }, ...content) {
  const field = h("div", { class: "field", "data-field": name }, label, ...content);
  if (need) field.classList.add("is-needed");
  if (help) field.append(h("p", { class: "hint" }, help));
  return field;
}

const labelled = (id, words, need) =>
  h("label", { for: id }, words, need ? h("span", { class: "need" }, " · needed") : null);

/**
 * A number with its unit and two big buttons (none where it is `bare`). `onValue(number or null, text)` hears every change at once; what is no
 * number stays in the box and is said so. `typed` is such a text kept from before.
 */
export function numberField({ name, label, unit = "", value, typed, step = 1, least, need, help, whole, bare, onValue }) {
  const id = newName(name);
  const fault = h("p", { class: "fault", id: `${id}-fault`, hidden: true });
  const input = h("input", {
    id, name, type: "text", inputmode: whole ? "numeric" : "decimal", autocomplete: "off", enterkeyhint: "next",
    value: typed ?? figure(value), "aria-describedby": `${id}-unit ${id}-fault`,
  });
  const hear = () => {
    const text = input.value.trim();
    let number = text === "" ? null : numberFrom(text);
    const wrong = text !== "" && (number === null || (whole && number !== Math.floor(number)));
    if (wrong) number = null;
    fault.hidden = !wrong;
    fault.textContent = wrong ? `“${text}” is not a ${whole ? "whole " : ""}number. Write it like ${whole ? "4" : "1.5 or 1-1/2"}.` : "";
    input.setAttribute("aria-invalid", String(wrong));
    onValue(number, wrong ? text : null);
  };
  const move = (by) => {
    const next = (numberFrom(input.value) ?? 0) + by;
    input.value = figure(least === undefined ? next : Math.max(least, next));
    hear();
  };
  input.addEventListener("input", hear);
  const stepper = (by, sign, word) =>
    h("button", { type: "button", class: "step", "aria-label": `${word} ${label}, by ${step}`, onclick: () => move(by) }, sign);
  const field = frame(name, labelled(id, label, need), { need, help },
    h("div", { class: "number" }, bare ? null : stepper(-step, "−", "Less"), input,
      h("span", { class: "unit", id: `${id}-unit` }, unit), bare ? null : stepper(step, "+", "More")), fault);
  field.set = (number) => { input.value = figure(number); };
  if (typed) hear();
  return field;
}

/** A line or a box of text. */
export function textField({ name, label, value = "", rows = 0, most, need, help, mode, onValue }) {
  const id = newName(name);
  const common = { id, name, maxlength: most, autocomplete: "off", oninput: () => onValue(input.value) };
  const input = rows ? h("textarea", { ...common, rows }) : h("input", { ...common, type: "text", inputmode: mode });
  input.value = value ?? "";
  const field = frame(name, labelled(id, label, need), { need, help }, input);
  field.set = (words) => { input.value = words; };
  return field;
}

export function dateField({ name, label, value = "", need, help, onValue }) {
  const id = newName(name);
  const input = h("input", { id, name, type: "date", value: value || "", oninput: () => onValue(input.value) });
  return frame(name, labelled(id, label, need), { need, help }, input);
}

/** A list to choose from; [value, words] pairs. Values come back as they were given. */
export function selectField({ name, label, choices, value, empty = "not given", need, help, onValue }) {
  const id = newName(name);
  const all = [["", empty], ...choices];
  const input = h("select", { id, name, onchange: () => onValue(all[input.selectedIndex][0]) },
    all.map(([code, words]) => h("option", { value: String(code) }, words)));
  input.value = value === null || value === undefined ? "" : String(value);
  const field = frame(name, labelled(id, label, need), { need, help }, input);
  field.set = (code) => { input.value = code === null || code === undefined ? "" : String(code); };
  return field;
}

export const SECOND_TAP_MS = 700;

/** Big buttons of which one is chosen; `[value, words, more words for readers]`. Pressing the chosen one clears it. */
export function choiceField({ name, label, choices, value, need, help, tight, onValue }) {
  const group = newName(name);
  const set = h("fieldset", { class: tight ? "pick-set tight" : "pick-set", "data-field": name },
    h("legend", {}, label, need ? h("span", { class: "need" }, " · needed") : null));
  let chosen = value ?? "";
  let since = 0;
  const choose = (code) => { chosen = code; since = performance.now(); onValue(code); };
  const picks = choices.map(([code, words, more]) => {
    const input = h("input", {
      type: "radio", name: group, value: String(code), checked: String(code) === String(chosen),
      onchange: () => choose(code),
      // A second tap of a glove is no wish to clear.
      onclick: (event) => { if (event.detail > 0 && input.dataset.was === "1" && performance.now() - since > SECOND_TAP_MS) clear(input); },
      onkeydown: (event) => { if (event.key === "Delete" || event.key === "Backspace") clear(input); },
    });
    const pick = h("label", { class: "pick" }, input, h("span", {}, words, more ? h("span", { class: "visually-hidden" }, ` ${more}`) : null));
    pick.addEventListener("pointerdown", () => { input.dataset.was = input.checked ? "1" : "0"; });
    return pick;
  });
  const clear = (input) => { input.checked = false; input.dataset.was = "0"; chosen = ""; onValue(""); };
  set.append(h("div", { class: "picks" }, picks));
  if (help) set.append(h("p", { class: "hint" }, help));
  set.set = (code) => {
    chosen = code ?? "";
    for (const input of set.querySelectorAll("input")) input.checked = input.value === String(chosen);
  };
  return set;
}

export const button = (words, onclick, kind = "") => h("button", { type: "button", class: kind, onclick }, words);

const SHORT = { asked: "Asked for", "last-time": "Last time", bars: "Bars", elements: "Elements", ratings: "Ratings", channel: "Channel", photos: "Photos" };

/** A part of the sheet: a panel with its heading, which takes the focus when the part is jumped to. */
export function part(id, words, ...children) {
  return h("section", { class: "panel part", id, "aria-labelledby": `${id}-heading`, "data-short": SHORT[id] ?? words },
    h("h2", { id: `${id}-heading` }, words), ...children);
}

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** "2026-05-14" as 14 May 2026. */
export function dayWords(day) {
  const found = /^(\d{4})-(\d{2})-(\d{2})/.exec(day || "");
  return found ? `${Number(found[3])} ${MONTHS[Number(found[2]) - 1]} ${found[1]}` : "day not on record";
}

const two = (number) => String(number).padStart(2, "0");
export const clockWords = (when) => `${two(when.getHours())}:${two(when.getMinutes())}:${two(when.getSeconds())}`;
export const localDay = (when) => `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())}`;
