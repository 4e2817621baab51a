// The end of a visit: everything still missing with a way to each, and the handing in.
import { inspectionFaults } from "../evidence.js";
import { now } from "../clock.js";
import { readingOf } from "./bars.js";
import { faultsOfElement } from "./elements.js";
import { button, fill, h, localDay, moveTo, part } from "./fields.js";
import { soundedPoints } from "./channel.js";
import { answerTo, standing } from "./last-time.js";
import { barWords } from "./place.js";
import { KIND, keyOf } from "./sheet.js";
import { dayQuestion, leaderWords } from "./visit.js";

const GO_BY_WORDS = [["Give the day", "visit"], ["The field work", "visit"], ["Give the component", "ratings"], ["A bar-force check", "bars"]];
const UUID = /^[0-9a-f]{8}-/;
const FULL_KINDS = ["initial", "routine", "in_depth"];

const nameOf = (sheet, finding) => `Finding ${sheet.findings.indexOf(finding) + 1} (${(KIND[finding.kind] ?? "no kind").toLowerCase()})`;

function findingGo(sheet, finding) {
  if (finding.kind === "bar_force") return () => { sheet.go("bars"); sheet.openBar?.(finding.bar); };
  return () => { sheet.go("findings"); sheet.openFinding?.(finding.identity); };
}

function ofFindings(sheet) {
  return sheet.findings.flatMap((finding) => {
    const go = findingGo(sheet, finding);
    const lacking = sheet.missing(finding).map(({ words }) => words.replace(/,$/, ""));
    const name = nameOf(sheet, finding);
    return [
      ...(lacking.length ? [{ words: `${name} lacks ${lacking.join(" and ")}.`, go }] : []),
      ...sheet.faults(finding).map(({ words }) => ({ words: `${name}: ${words}`, go })),
      ...sheet.questions(finding).map(({ words }) => ({ words: `${name}: ${words}`, go, isQuestion: true })),
    ];
  });
}

function ofTyped(sheet) {
  const isThere = (key) => !UUID.test(key) || sheet.findings.some((row) => key.startsWith(row.identity));
  return Object.entries(sheet.typed).filter(([key]) => isThere(key)).map(([key, text]) => {
    const finding = sheet.findings.find((row) => key.startsWith(row.identity));
    const to = key.startsWith("channel") ? "channel" : key.startsWith("element") ? "elements" : "visit";
    return { words: `${finding ? nameOf(sheet, finding) : to[0].toUpperCase() + to.slice(1)}: “${text}” is not a number.`, go: finding ? findingGo(sheet, finding) : () => sheet.go(to) };
  });
}

/** All that is still missing or asked: [{words, go, isQuestion}]. */
export function openPoints(sheet) {
  const { inspection } = sheet;
  const isFull = FULL_KINDS.includes(inspection.kind);
  const whole = sheet.table ? inspectionFaults(inspection, sheet.findings, sheet.table, localDay(now())) : [];
  const points = whole.map((words) => ({ words, go: () => sheet.go(GO_BY_WORDS.find(([start]) => words.startsWith(start))?.[1] ?? "visit") }));
  if (inspection.leader === null && (sheet.pack.leaders || []).length) points.push({ words: "Name the team leader on site.", go: () => sheet.go("visit") });
  const leader = (sheet.pack.leaders || []).find((person) => person.id === inspection.leader);
  for (const words of [leaderWords(leader, inspection.field_completed_on), dayQuestion(inspection.field_completed_on, sheet.pack.structure)]) {
    if (words) points.push({ words, go: () => sheet.go("visit"), isQuestion: true });
  }
  if (isFull) {
    standing(sheet).forEach((before, place) => {
      if (!answerTo(sheet, before)) points.push({ words: `Last time's finding ${place + 1} (${KIND[before.kind]?.toLowerCase()}) is not answered.`, go: () => { sheet.go("last-time"); moveTo(document.querySelector(`[data-before="${CSS.escape(keyOf(before))}"] button`), { align: "center" }); } });
    });
  }
  if (inspection.kind === "bar_check") {
    for (const bar of sheet.bars) {
      if (bar.asked_for && !readingOf(sheet, bar)) points.push({ words: `${barWords(bar, sheet)} is to be read this time and is not.`, go: () => { sheet.go("bars"); sheet.openBar?.(bar.id); } });
    }
  }
  points.push(...ofFindings(sheet));
  for (const row of sheet.elements) for (const words of faultsOfElement(sheet, row)) points.push({ words, go: () => { sheet.go("elements"); sheet.openElement?.(row.number); } });
  for (const row of sheet.channel) {
    const left = row.points.length - soundedPoints(row.points).length;
    if (left) points.push({ words: `${row.name || "A section"}: ${left} ${left === 1 ? "sounding has" : "soundings have"} no depth or no station and will be left out.`, go: () => sheet.go("channel") });
  }
  return [...points, ...ofTyped(sheet)];
}

export function finishPart(sheet, handIn) {
  const list = h("div", { role: "status" });
  const sure = h("div", {});
  const way = button("Hand in", () => press(), "big");
  let points = [];
  const look = () => {
    points = openPoints(sheet);
    const lacking = points.filter((point) => !point.isQuestion);
    const asked = points.filter((point) => point.isQuestion);
    const lines = (rows) => h("ul", { class: "open-points" }, rows.map(({ words, go }) => h("li", {}, h("button", { type: "button", class: "second jump", onclick: go }, words))));
    fill(list,
      lacking.length ? [h("h3", {}, `▲ Still missing: ${lacking.length}`), lines(lacking)] : h("p", { class: "still is-whole" }, sheet.table ? "✓ Nothing is missing." : "The evidence table is not on this device: only the office can say what is missing."),
      asked.length ? [h("h3", {}, `Asked, not answered: ${asked.length}`), lines(asked)] : null);
    sheet.emit("points", { missing: lacking.length, asked: asked.length });
  };
  let timer = null;
  const soon = () => { clearTimeout(timer); timer = setTimeout(look, 500); };
  sheet.on("change", soon);
  sheet.on("photos", soon);
  const press = () => {
    look();
    const lacking = points.filter((point) => !point.isQuestion).length;
    if (!lacking) { handIn(); return; }
    fill(sure, h("div", { class: "refusal", role: "alert" }, h("h3", {}, `${lacking} ${lacking === 1 ? "thing is" : "things are"} still missing.`),
      h("p", {}, "Handed in now it will arrive as a draft: it is not submitted, and somebody has to come back for the rest."),
      h("p", { class: "acts" }, button("Go back to what is missing", () => { fill(sure); moveTo(list.querySelector("button") ?? list); }, "big"),
        button("Hand in all the same", handIn, "second"))));
    moveTo(sure.querySelector("h3"));
  };
  look();
  return part("finish", "Finish", list, h("p", { class: "acts" }, way), sure);
}
