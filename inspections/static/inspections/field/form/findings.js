// The findings of this visit: a list with their marks on the drawings, one open at a time, and the kinds to choose from.
import { placedDrawing } from "./drawing.js";
import { button, fill, h, moveTo, part } from "./fields.js";
import { findingEditor } from "./finding.js";
import { marksOf } from "./place.js";
import { CHANGE, KIND, kindsInGroups, placeWords, sizeWords } from "./sheet.js";
import { newFinding } from "./work.js";

export function findingsPart(sheet) {
  const list = h("ol", { class: "finding-list" });
  const marks = h("div", {});
  const chooser = h("div", {});
  const undo = h("div", { role: "status" });
  const drawings = overview(sheet, marks);
  let open = null;

  const openOne = (identity) => {
    open = identity;
    draw();
    moveTo(list.querySelector(".is-open h3"));
  };
  const remove = (finding) => {
    const place = sheet.findings.indexOf(finding);
    sheet.findings.splice(place, 1);
    sheet.work.local.removed.push({ ...finding });
    open = null;
    sheet.changed("findings");
    fill(undo, h("p", { class: "undo" }, `Removed: ${KIND[finding.kind]}. `, button("Put it back", () => {
      const at = sheet.work.local.removed.findIndex((row) => row.identity === finding.identity);
      if (at >= 0) sheet.work.local.removed.splice(at, 1);
      sheet.findings.splice(place, 0, finding);
      fill(undo);
      sheet.changed("findings");
      openOne(finding.identity);
    }, "second")));
    moveTo(undo.querySelector("button"), { align: "center" });
  };
  const card = (finding, number) => {
    const isOpen = finding.identity === open;
    const status = h("p", { class: "status-line" });
    const look = () => summary(sheet, finding, status);
    look();
    const heading = h("h3", {}, h("span", { class: "balloon", "aria-hidden": "true" }, String(number)), ` ${KIND[finding.kind]}`,
      finding.change && finding.change !== "new" ? h("span", { class: "tag" }, CHANGE[finding.change]) : null);
    const body = isOpen
      ? findingEditor(sheet, finding, { onDone: () => { open = null; draw(); moveTo(list.querySelector(`[data-finding="${finding.identity}"] button`), { align: "center" }); }, onRemove: () => remove(finding) })
      : button("Open", () => openOne(finding.identity), "second");
    if (!isOpen) body.setAttribute("aria-label", `Open finding ${number}, ${KIND[finding.kind]}`);
    return { element: h("li", { class: isOpen ? "card is-open" : "card", "data-finding": finding.identity }, heading, status, body), look };
  };
  let cards = [];
  const draw = () => {
    cards = sheet.findings.map((finding, place) => (finding.kind === "bar_force" ? null : card(finding, place + 1))).filter(Boolean);
    fill(list, cards.map((one) => one.element));
    drawings.look();
  };
  sheet.on("change", ({ what }) => {
    if (what === "findings" || what === "carried") draw();
    else if (what === "finding" || what === "answer") { cards.forEach((one) => one.look()); drawings.look(); }
  });
  sheet.on("photos", () => cards.forEach((one) => one.look()));
  const add = (kind) => {
    fill(chooser);
    if (kind === "bar_force") { sheet.go("bars"); return; }
    const span = sheet.spans.length === 1 ? sheet.spans[0].index : null;
    const finding = newFinding(kind, { span_index: span, ...onlyMember(sheet, span) });
    sheet.findings.push(finding);
    sheet.changed("finding", finding.identity);
    openOne(finding.identity);
  };
  const begin = button("+ New finding", () => {
    fill(chooser, kindChooser(sheet, add, () => { fill(chooser); moveTo(begin, { align: "center" }); }));
    moveTo(chooser.querySelector("h3"));
  }, "big");
  draw();
  sheet.openFinding = openOne;
  return part("findings", "Findings", marks, list, undo, h("p", { class: "acts" }, begin), chooser);
}

/** Where a span has one group of members only, nobody needs to choose it. */
function onlyMember(sheet, spanIndex) {
  const members = sheet.span(spanIndex)?.members || [];
  return members.length === 1 ? { member: members[0].id } : {};
}

function summary(sheet, finding, line) {
  const lacking = sheet.missing(finding).length;
  const words = [placeWords(sheet, finding), sizeWords(finding), finding.note].filter(Boolean).join(". ");
  const photos = sheet.photosFor(finding.identity).length;
  fill(line, h("span", {}, words || "nothing entered yet"), photos ? h("span", { class: "tag" }, `${photos} ${photos === 1 ? "photo" : "photos"}`) : null,
    lacking ? h("strong", { class: "lacking" }, `▲ ${lacking} still missing`) : sheet.table ? h("span", { class: "whole" }, "✓ whole") : null,
    sheet.isGrave(finding) ? h("strong", { class: "lacking" }, "■ grave: call") : null);
}

function kindChooser(sheet, choose, close) {
  const isBarless = !sheet.bars.length;
  const groups = kindsInGroups(sheet).map(({ label, kinds }) => {
    const offered = kinds.filter((kind) => !(isBarless && ["bar_force", "bar_defect"].includes(kind)));
    return offered.length ? h("div", { role: "group", "aria-label": label }, h("h4", {}, label),
      h("div", { class: "kinds" }, offered.map((kind) => h("button", { type: "button", class: "second kind", "data-kind": kind, onclick: () => choose(kind) }, KIND[kind])))) : null;
  });
  return h("div", { class: "chooser", onkeydown: (event) => { if (event.key === "Escape") close(); } },
    h("h3", {}, "What kind of finding?"), groups, h("p", { class: "acts" }, button("None, go back", close, "second")));
}

/** Each span's elevation with the findings marked by their numbers; the list below says the same in words. */
function overview(sheet, place) {
  const made = sheet.spans.map((span) => ({ span, drawing: placedDrawing({ text: span.elevation, scale: span.elevation_scale, reachFt: span.length_ft }) })).filter((one) => one.drawing);
  const figures = made.map(({ span, drawing }) => h("figure", { class: "overview" }, drawing.element,
    h("figcaption", {}, `Span ${span.index}, ${span.length_ft} ft. Numbers are those of the list below. ${drawing.words}`)));
  fill(place, figures);
  const look = () => made.forEach(({ span, drawing }, number) => {
    const marks = marksOf(sheet, span.index, "station_ft");
    drawing.mark(marks);
    figures[number].hidden = made.length > 1 && !marks.length;
  });
  return { look };
}
