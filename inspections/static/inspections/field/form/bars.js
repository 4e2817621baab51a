// Bar forces: one bar after the other, with its last force beside it; in lb, or as pressure on a gauge with its jack.
import { limitWords } from "./bar-limits.js";
import { button, choiceField, dayWords, fill, grouped, h, moveTo, numberField, part, selectField } from "./fields.js";
import { evidenceBox, sizeField } from "./finding.js";
import { barWords } from "./place.js";
import { METHOD } from "./sheet.js";
import { newFinding } from "./work.js";

const REPEAT_WITHIN_PCT = 5; // readings of one bar are taken as agreeing within this (common practice, no source)
const CAUTION = "Nobody in line with a bar under load; calibrated jack and gauge; no load above the bar's limit; no traffic on the span while a jack is on a bar.";

export const readingOf = (sheet, bar) => sheet.findings.find((row) => row.kind === "bar_force" && row.bar === bar.id) || null;

export function barsPart(sheet) {
  if (!sheet.bars.length) return null;
  const card = h("div", { class: "card bar-card" });
  const list = h("ol", { class: "bar-list" });
  let at = 0;
  const show = (place, { focus = true } = {}) => {
    at = (place + sheet.bars.length) % sheet.bars.length;
    fill(card, barCard(sheet, sheet.bars[at], { place: at, next: () => show(at + 1), previous: () => show(at - 1), heard: () => tell() }));
    tell();
    if (focus) moveTo(card.querySelector("h3"), { align: "nearest" });
  };
  const tell = () => fill(list, sheet.bars.map((bar, place) => listed(sheet, bar, place === at, () => show(place))));
  sheet.openBar = (id) => show(Math.max(0, sheet.bars.findIndex((bar) => bar.id === id)));
  show(Math.max(0, sheet.bars.findIndex((bar) => !readingOf(sheet, bar))), { focus: false });
  sheet.on("change", ({ what }) => { if (what === "findings") tell(); });
  return part("bars", "Bar forces", h("p", { class: "caution" }, CAUTION), card,
    h("details", {}, h("summary", {}, `All ${sheet.bars.length} bars`), h("p", { class: "hint" }, "● to be read this time, by the county's policy. ✕ set aside."), list));
}

function listed(sheet, bar, isNow, open) {
  const reading = readingOf(sheet, bar);
  const words = reading ? (reading.force_method === "hand_loose" ? "loose" : reading.force_lb === null ? "begun" : `${grouped(reading.force_lb)} lb`) : "not read";
  return h("li", {}, h("button", { type: "button", class: `second bar-line${reading ? " is-read" : ""}`, "aria-current": isNow ? "true" : null, onclick: open },
    h("span", {}, barWords(bar, sheet), bar.is_usable === false ? " ✕" : bar.asked_for ? " ●" : ""), h("span", {}, `last ${bar.last_force_lb === null || bar.last_force_lb === undefined ? "none" : grouped(bar.last_force_lb)}`),
    h("strong", {}, reading ? `✓ ${words}` : words)));
}

/** Unit, jack, method and temperature go on from one bar to the next. */
const handed = (sheet) => (sheet.work.local.bars ??= { unit: "lb", jack: null, method: "", temp: null });
const typedOf = (sheet, finding) => ((sheet.work.local.readings ??= {})[finding.identity] ??= { unit: finding.gauge_psi !== null && finding.gauge_psi !== undefined ? "psi" : "lb", values: written(finding) });

function written(finding) {
  const forces = finding.repeats_lb?.length ? finding.repeats_lb : finding.force_lb === null || finding.force_lb === undefined ? [] : [finding.force_lb];
  const perLb = finding.gauge_psi && finding.force_lb ? finding.gauge_psi / finding.force_lb : 1;
  return [0, 1, 2].map((place) => (forces[place] === undefined ? null : forces[place] * perLb));
}

/** Force, pressure and repeats from what was typed; pressures need the jack before they are forces. */
export function workOut(finding, { unit, values }, jacks) {
  const given = values.filter((value) => value !== null && value !== undefined);
  const mean = (all) => all.reduce((sum, value) => sum + value, 0) / all.length;
  const perPsi = unit === "psi" ? (jacks || []).find((jack) => jack.id === finding.jack)?.pounds_per_psi ?? null : 1;
  finding.gauge_psi = unit === "psi" && given.length ? mean(given) : null;
  const forces = perPsi === null ? [] : given.map((value) => value * perPsi);
  finding.force_lb = finding.force_method === "hand_loose" && !forces.length ? 0 : forces.length ? mean(forces) : null;
  finding.repeats_lb = forces.length > 1 ? forces : [];
  return forces;
}

function spreadWords(forces, method) {
  if (method === "lock_off" && forces.length) return "Pressure at lock-off: no standing force. It is kept and counts nowhere.";
  if (!forces.length) return "";
  const mean = forces.reduce((sum, force) => sum + force, 0) / forces.length;
  if (forces.length === 1) return `${grouped(mean)} lb`;
  const spread = mean > 0 ? ((Math.max(...forces) - Math.min(...forces)) / mean) * 100 : 0;
  const said = `Mean ${grouped(mean)} lb, lowest ${grouped(Math.min(...forces))}, spread ${spread.toFixed(1)} %`;
  return spread > REPEAT_WITHIN_PCT ? `▲ ${said}: more than ${REPEAT_WITHIN_PCT} %, read once more if you can.` : `${said}.`;
}

function barCard(sheet, bar, { place, next, previous, heard }) {
  const kept = handed(sheet);
  let finding = readingOf(sheet, bar);
  const draft = finding ?? newFinding("bar_force", { span_index: bar.span_index, bar: bar.id, station_ft: bar.station_ft, jack: kept.jack, force_method: kept.method, wood_temp_f: kept.temp });
  if (!finding) draft.change = "";
  const typed = finding ? typedOf(sheet, finding) : { unit: kept.unit, values: [null, null, null] };
  const spread = h("p", { class: "spread", role: "status" });
  const limits = h("div", { "aria-live": "assertive" });
  const evidence = h("div", {});
  let box = null;
  let said = "";
  const look = () => {
    const forces = workOut(draft, typed, sheet.pack.jacks);
    spread.textContent = spreadWords(forces, draft.force_method);
    const pressures = typed.unit === "psi" ? typed.values.filter((value) => value !== null) : [];
    const jack = (sheet.pack.jacks || []).find((one) => one.id === draft.jack);
    const told = limitWords({ bar, forces, pressures, jack, method: draft.force_method });
    const words = told.map((one) => one.words).join(" ");
    if (words !== said) fill(limits, told.map((one) => h("p", { class: one.isGrave ? "caution" : "fault" }, one.words)));
    said = words;
    if (finding && !box) fill(evidence, (box = evidenceBox(sheet, draft)).element);
    if (!finding) { box = null; fill(evidence); }
    box?.refresh();
  };
  const settle = () => {
    const isTyped = Object.keys(sheet.typed).some((key) => key.startsWith(draft.identity));
    const isRead = isTyped || typed.values.some((value) => value !== null) || draft.force_method === "hand_loose";
    workOut(draft, typed, sheet.pack.jacks);
    if (isRead && !finding) {
      sheet.findings.push(finding = draft);
      (sheet.work.local.readings ??= {})[draft.identity] = typed;
    } else if (!isRead && finding) {
      sheet.findings.splice(sheet.findings.indexOf(finding), 1);
      finding = null;
    }
    Object.assign(kept, { unit: typed.unit, jack: draft.jack, method: draft.force_method === "hand_loose" ? kept.method : draft.force_method, temp: draft.wood_temp_f });
    look();
    sheet.changed("bar", bar.id);
    heard();
  };
  const fields = barFields(sheet, draft, typed, settle);
  look();
  return [
    h("h3", {}, `${barWords(bar, sheet)} `, h("span", { class: "tag" }, `${place + 1} of ${sheet.bars.length}`), bar.asked_for ? h("span", { class: "tag" }, "● to be read") : null),
    h("p", { class: "last-force" }, bar.last_force_lb === null || bar.last_force_lb === undefined ? "No force on record." : `Last: ${grouped(bar.last_force_lb)} lb, ${dayWords(bar.last_on)}`),
    bar.is_usable === false ? h("p", { class: "caution" }, `Set aside${bar.why_not ? `: ${bar.why_not}` : ""}. Only the engineer releases it; no jack goes on it.`) : null,
    fields, spread, limits, evidence,
    h("div", { class: "turns" }, button("‹ Previous", previous, "second big"), button("Next bar ›", next, "big")),
  ];
}

function barFields(sheet, draft, typed, settle) {
  const readings = h("div", { class: "readings" });
  const jack = selectField({
    name: "jack", label: "Jack and gauge", value: draft.jack,
    choices: (sheet.pack.jacks || []).map((one) => [one.id, `${one.name}${isLapsed(one, sheet) ? " ▲ calibration ended" : ""}`]),
    onValue: (value) => { draft.jack = value === "" ? null : value; settle(); },
  });
  const number = (place) => numberField({
    name: `reading-${place + 1}`, label: ["Reading", "Second reading", "Third reading"][place], unit: typed.unit, step: typed.unit === "psi" ? 50 : 500, least: 0,
    value: typed.values[place], typed: sheet.typed[`${draft.identity}.reading${place}`],
    onValue: (value, text) => { sheet.keepTyped(`${draft.identity}.reading${place}`, text); typed.values[place] = value; settle(); },
  });
  const draw = () => fill(readings, number(0), h("details", { open: typed.values.slice(1).some((value) => value !== null) }, h("summary", {}, "Read again"), number(1), number(2)));
  draw();
  const heard = () => settle();
  return [
    choiceField({
      name: "force_method", label: "How it is read", value: draft.force_method, choices: Object.entries(METHOD),
      onValue: (code) => { draft.force_method = code; settle(); },
    }),
    choiceField({
      name: "unit", label: "Typed in", tight: true, value: typed.unit, choices: [["lb", "lb"], ["psi", "psi on the gauge"]],
      onValue: (code) => { typed.unit = code || "lb"; draw(); settle(); },
    }),
    readings, jack, h("div", { class: "pair" }, sizeField(sheet, draft, "wood_temp_f", { heard }), sizeField(sheet, draft, "moisture_pct", { heard })),
  ];
}

const isLapsed = (jack, sheet) => Boolean(jack.calibrated_until && sheet.inspection.field_completed_on && jack.calibrated_until < sheet.inspection.field_completed_on);
