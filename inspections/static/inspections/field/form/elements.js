// Elements: four quantities that must add up to the total, with the running sum beside them.
import { elementFaults } from "../evidence.js";
import { button, fill, h, moveTo, numberField, part, selectField, textField } from "./fields.js";
import { WORDS } from "./words.js";

const STATES = [["cs1", "1 good"], ["cs2", "2 fair"], ["cs3", "3 poor"], ["cs4", "4 severe"]];
const NAMES = Object.fromEntries(WORDS.elements.map(([number, name, unit]) => [number, { name, unit }]));
export const elementWords = (number) => `${number} ${NAMES[number]?.name ?? ""}`.trim();

/** Sum of the states and what is left to the total: {sum, left}; a number not given counts as nothing. */
export function tally(row) {
  const sum = STATES.reduce((all, [name]) => all + (row[name] ?? 0), 0);
  return { sum, left: (row.total ?? 0) - sum };
}

export const faultsOfElement = (sheet, row) => (sheet.table ? elementFaults(row, sheet.table) : []);

export function elementsPart(sheet) {
  const list = h("div", {});
  const last = sheet.pack.elements || [];
  const isThere = (number) => sheet.elements.some((row) => row.number === number);
  const add = (row) => {
    sheet.elements.push(row);
    sheet.changed("elements");
    draw();
    moveTo(list.querySelector(`[data-element="${row.number}"] h3`));
  };
  const draw = () => {
    const rows = sheet.elements.map((row) => card(sheet, row, draw));
    const waiting = last.filter((row) => !isThere(row.number)).map((row) => lastCard(row, () => add(copied(row))));
    fill(list, rows, waiting);
  };
  draw();
  const choose = selectField({
    name: "element", label: "Add an element", empty: "choose", choices: WORDS.elements.map(([number, name, unit]) => [number, `${number} ${name}, ${unit}`]),
    onValue: (number) => {
      choose.set("");
      if (number && !isThere(Number(number))) add({ number: Number(number), unit: NAMES[number].unit, total: null, cs1: null, cs2: null, cs3: null, cs4: null, note: "" });
      else if (number) sheet.say(`Element ${number} is in the list already.`);
    },
  });
  const all = last.length > 1 && button("All as last time", () => {
    for (const row of last) if (!isThere(row.number)) sheet.elements.push(copied(row));
    sheet.changed("elements");
    draw();
    sheet.say("All elements as last time; go through every quantity.");
  }, "second");
  sheet.openElement = (number) => moveTo(list.querySelector(`[data-element="${number}"] h3`));
  return part("elements", "Element states", h("p", { class: "hint" }, "The four states must add up to the total."), all ? h("p", { class: "acts" }, all) : null, list, choose);
}

const copied = (row) => ({ number: row.number, unit: row.unit, total: row.total, cs1: row.cs1, cs2: row.cs2, cs3: row.cs3, cs4: row.cs4, note: row.note ?? "" });

function lastCard(row, take) {
  const words = STATES.map(([name, word]) => `${word.slice(2)} ${row[name] ?? 0}`).join(", ");
  return h("div", { class: "card", "data-element": row.number }, h("h3", {}, elementWords(row.number)),
    h("p", {}, `Last time: total ${row.total} ${row.unit}; ${words}.`),
    h("p", { class: "acts" }, button("As last time, or change it", take, "second")));
}

function card(sheet, row, draw) {
  const sum = h("p", { class: "sum", role: "status" });
  const look = () => {
    const { sum: now, left } = tally(row);
    const round = (value) => Math.round(value * 100) / 100;
    const words = Math.abs(left) < 0.005 ? "adds up" : left > 0 ? `${round(left)} ${row.unit} missing to the total` : `${round(-left)} ${row.unit} more than the total`;
    const good = !faultsOfElement(sheet, row).length && Number.isFinite(row.total);
    sum.className = good ? "sum" : "sum is-off";
    sum.textContent = `${good ? "✓" : "▲"} Sum ${round(now)} of ${row.total ?? "?"} ${row.unit}: ${words}.`;
  };
  const number = (name, label) => numberField({
    name, label, unit: row.unit, value: row[name], least: 0, step: row.unit === "each" ? 1 : 5, typed: sheet.typed[`element.${row.number}.${name}`],
    onValue: (value, text) => {
      sheet.keepTyped(`element.${row.number}.${name}`, text);
      row[name] = value;
      look();
      sheet.changed("element", row.number);
    },
  });
  const remove = () => {
    sheet.elements.splice(sheet.elements.indexOf(row), 1);
    sheet.forgetTyped(`element.${row.number}.`);
    sheet.changed("elements");
    draw();
    sheet.say(`Element ${row.number} left out.`);
  };
  look();
  return h("div", { class: "card", "data-element": row.number }, h("h3", {}, elementWords(row.number)),
    number("total", "Total"), h("div", { class: "pair" }, STATES.map(([name, word]) => number(name, word))), sum,
    textField({ name: "note", label: "Note", value: row.note, most: 200, onValue: (words) => { row.note = words; sheet.changed("element", row.number); } }),
    h("p", { class: "acts" }, button("Leave this element out", remove, "second")));
}
