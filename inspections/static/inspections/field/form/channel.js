// Soundings of the channel: depth below the datum at each station, last time's depth beside it.
import { button, dayWords, fill, h, moveTo, numberField, part, textField } from "./fields.js";

const key = (row) => row.section ?? `new:${row.name}`;

export function channelPart(sheet) {
  const known = sheet.pack.channel || [];
  const isOffered = known.length || sheet.channel.length || sheet.pack.structure.over_water || ["underwater", "scour"].includes(sheet.inspection.kind);
  if (!isOffered) return null;
  const list = h("div", {});
  const draw = () => {
    const begun = sheet.channel.map((row) => survey(sheet, row, known.find((one) => one.section === row.section), draw));
    const waiting = known.filter((one) => !sheet.channel.some((row) => row.section === one.section)).map((one) => h("div", { class: "card" },
      h("h3", {}, one.name), h("p", {}, `Depths down from ${one.datum || "the datum"}. `, one.last?.points?.length ? `Last sounded ${dayWords(one.last.on)}, ${one.last.points.length} points.` : "Never sounded."),
      h("p", { class: "acts" }, button("Sound this section", () => begin({ section: one.section, name: one.name, datum: one.datum || "", points: (one.last?.points || []).map(([station]) => [station, null]) }), "second"))));
    fill(list, begun, waiting);
  };
  const begin = (row) => {
    sheet.channel.push({ water_ft: null, method: "", note: "", ...row, points: row.points.length ? row.points : [[0, null]] });
    sheet.changed("channel");
    draw();
    moveTo(list.querySelector(`[data-section="${CSS.escape(String(key(row)))}"] h3`));
  };
  draw();
  const names = new Set();
  const fresh = () => {
    let number = sheet.channel.length + 1;
    while (names.has(number)) number += 1;
    names.add(number);
    begin({ section: null, name: `Section ${number}`, datum: "", points: [] });
  };
  return part("channel", "Channel soundings", h("p", { class: "hint" }, "Stations run from the left end, looking ahead on the road; depths go down from a mark that does not move."),
    list, h("p", { class: "acts" }, button("+ New section", fresh, "second")));
}

/** Rows that have both numbers, by rising station: what the record takes. */
export const soundedPoints = (points) => points.filter(([station, depth]) => Number.isFinite(station) && Number.isFinite(depth)).sort((one, other) => one[0] - other[0]);

function lastAt(known, station) {
  const points = known?.last?.points || [];
  return points.find(([at]) => at === station)?.[1] ?? null;
}

function survey(sheet, row, known, again) {
  const heard = () => sheet.changed("channel");
  const text = (name, label, most) => textField({ name, label, value: row[name], most, onValue: (words) => { row[name] = words; heard(); } });
  const points = h("ol", { class: "soundings" });
  const pointRow = (point, place) => {
    const beside = h("p", { class: "hint", role: "status" });
    const look = () => {
      const last = lastAt(known, point[0]);
      const gone = last !== null && point[1] !== null ? Math.round((point[1] - last) * 100) / 100 : null;
      beside.textContent = last === null ? "" : `Last time ${last} ft.${gone === null ? "" : gone > 0 ? ` ${gone} ft lower now.` : gone < 0 ? ` ${-gone} ft higher now.` : " As before."}`;
    };
    const number = (at, label) => numberField({
      name: label.toLowerCase(), label: `${label} ${place + 1}`, unit: "ft", bare: true, value: point[at], typed: sheet.typed[`channel.${key(row)}.${place}.${at}`], least: at === 0 ? 0 : undefined,
      onValue: (value, typed) => { sheet.keepTyped(`channel.${key(row)}.${place}.${at}`, typed); point[at] = value; look(); heard(); },
    });
    look();
    const leave = button("✕", () => { row.points.splice(place, 1); sheet.forgetTyped(`channel.${key(row)}.`); heard(); draw(); }, "second");
    leave.setAttribute("aria-label", `Leave out point ${place + 1}`);
    return h("li", {}, h("div", { class: "sounding" }, number(0, "Station"), number(1, "Depth"), leave), beside);
  };
  const draw = () => fill(points, row.points.map(pointRow));
  draw();
  const more = button("+ Next point", () => {
    const stations = row.points.map(([station]) => station).filter(Number.isFinite);
    const step = stations.length > 1 ? stations.at(-1) - stations.at(-2) : 5;
    row.points.push([stations.length ? Math.round((stations.at(-1) + step) * 100) / 100 : null, null]);
    heard();
    draw();
    points.lastElementChild.querySelectorAll("input")[1].focus();
  }, "big");
  const isNew = row.section === null;
  return h("div", { class: "card", "data-section": key(row) }, h("h3", {}, row.name || "New section"),
    isNew ? text("name", "Name of the section", 60) : null, isNew ? text("datum", "Depths are measured down from", 120) : h("p", {}, `Depths down from ${row.datum || "the datum"}.`),
    numberField({ name: "water_ft", label: "Water surface below the datum", unit: "ft", step: 0.5, value: row.water_ft, typed: sheet.typed[`channel.${key(row)}.water`], onValue: (value, typed) => { sheet.keepTyped(`channel.${key(row)}.water`, typed); row.water_ft = value; heard(); } }),
    points, h("p", { class: "acts" }, more), text("method", "How it was sounded", 40), text("note", "Note", 200),
    h("p", { class: "acts" }, button("Leave this section out", () => { sheet.channel.splice(sheet.channel.indexOf(row), 1); sheet.forgetTyped(`channel.${key(row)}.`); heard(); again(); }, "second")));
}
