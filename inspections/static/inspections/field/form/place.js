// Where a finding is: tapped on the elevation and on the section, and always as numbers beside.
import { placedDrawing } from "./drawing.js";
import { choiceField, fill, h, numberField, selectField } from "./fields.js";
import { ROLE } from "./sheet.js";

/** Marks of the findings of one span for a drawing; `value` picks the column that is the place. */
export function marksOf(sheet, spanIndex, column, nowFinding) {
  return sheet.findings.map((finding, place) => ({ finding, label: String(place + 1) }))
    .filter(({ finding }) => finding.span_index === spanIndex && Number.isFinite(finding[column]) && finding.kind !== "bar_force" && finding.change !== "gone")
    .map(({ finding, label }) => ({
      ft: finding[column], lengthFt: column === "station_ft" ? finding.extent_ft || 0 : 0, label,
      isGrave: sheet.isGrave(finding), isNow: finding === nowFinding,
    }));
}

const memberWords = (member) =>
  member.name || `${member.count} of ${(ROLE[member.role] || "member").toLowerCase()}, ${member.width_in} x ${member.depth_in} in`;

/** The fields of a place; `wants(name)` says whether the kind needs or may have a field: "needs", "asks" or "". */
export function placeFields(sheet, finding, { wants, keep, number }) {
  const box = h("div", { class: "place" });
  const draw = () => fill(box, ...parts(sheet, finding, { wants, keep, number, again: draw }));
  draw();
  return box;
}

function parts(sheet, finding, { wants, keep, number, again }) {
  const span = sheet.span(finding.span_index);
  const made = [];
  const shown = (name) => wants(name) !== "";
  if (shown("span_index") && sheet.spans.length > 1) {
    made.push(choiceField({
      name: "span_index", label: "Span", tight: true, need: wants("span_index") === "needs", value: finding.span_index ?? "",
      choices: sheet.spans.map((one) => [one.index, `${one.index}`, `span, ${one.length_ft} ft`]),
      onValue: (value) => { keep("span_index", value === "" ? null : Number(value)); keep("member", null); again(); },
    }));
  }
  const fields = {};
  if (span && shown("station_ft")) made.push(...elevation(sheet, finding, span, { keep, fields }));
  if (shown("station_ft")) made.push(fields.station_ft = number("station_ft"));
  if (span && shown("member")) made.push(...section(sheet, finding, span, { keep, fields }));
  const members = span?.members || [];
  if (shown("member") && members.length) {
    made.push(fields.member = selectField({
      name: "member", label: "Member group", value: finding.member, need: wants("member") === "needs",
      choices: members.map((member) => [member.id, memberWords(member)]),
      onValue: (value) => keep("member", value === "" ? null : value),
    }));
  }
  if (shown("member_number") && members.length) made.push(fields.member_number = number("member_number"));
  if (shown("bar") && sheet.bars.length) {
    made.push(fields.bar = selectField({
      name: "bar", label: "Bar", value: finding.bar, need: wants("bar") === "needs",
      choices: sheet.bars.filter((bar) => !span || bar.span_index === span.index).map((bar) => [bar.id, barWords(bar, sheet)]),
      onValue: (value) => { keep("bar", value === "" ? null : value); },
    }));
  }
  if (shown("extent_ft")) made.push(number("extent_ft"));
  return made;
}

export const barWords = (bar, sheet) =>
  `${sheet.spans.length > 1 ? `Span ${bar.span_index}, ` : ""}Bar ${bar.position}${bar.level && bar.level !== "mid" ? ` ${bar.level}` : ""}`;

function elevation(sheet, finding, span, { keep, fields }) {
  const drawing = placedDrawing({
    text: span.elevation, scale: span.elevation_scale, reachFt: span.length_ft,
    label: "Place on the elevation: press the drawing, or use the arrow keys", from: "from the first bearing",
    onPlace: (ft, at) => {
      keep("station_ft", ft);
      fields.station_ft?.set(ft);
      drawing.mark(marksOf(sheet, span.index, "station_ft", finding));
      const bar = at.bar && (span.bars || []).find((one) => one.position === at.bar);
      if (bar && fields.bar) { keep("bar", bar.id); fields.bar.set(bar.id); }
    },
  });
  if (!drawing) return [];
  drawing.set(finding.station_ft ?? null);
  drawing.mark(marksOf(sheet, span.index, "station_ft", finding));
  return [h("p", { class: "drawing-title" }, "Elevation: press where it is"), drawing.element, drawing.words ? h("p", { class: "hint" }, drawing.words) : null];
}

function section(sheet, finding, span, { keep, fields }) {
  const drawing = placedDrawing({
    text: span.section, scale: span.section_scale, reachFt: span.width_ft,
    label: "Place across the deck: press the drawing, or use the arrow keys", from: "from the left edge of the deck",
    onPlace: (ft, at) => {
      keep("across_ft", ft);
      fields.across.textContent = acrossWords(ft);
      drawing.mark(marksOf(sheet, span.index, "across_ft", finding));
      if (at.member) chooseMember(sheet, span, at.member, { keep, fields });
    },
  });
  if (!drawing) return [];
  fields.across = h("p", { class: "hint", role: "status" }, acrossWords(finding.across_ft));
  drawing.set(finding.across_ft ?? null);
  drawing.mark(marksOf(sheet, span.index, "across_ft", finding));
  return [h("p", { class: "drawing-title" }, "Section, looking ahead: press which member"), drawing.element, fields.across];
}

const acrossWords = (ft) => (Number.isFinite(ft) ? `${ft} ft from the left edge of the deck` : "");

function chooseMember(sheet, span, { role, number, count }, { keep, fields }) {
  const groups = (span.members || []).filter((member) => member.role === role);
  let left = number;
  const group = groups.find((member) => { if (left <= member.count) return true; left -= member.count; return false; }) ?? groups[0];
  if (!group) return;
  keep("member", group.id);
  fields.member?.set(group.id);
  const within = group.count === count || groups.length > 1 ? left : Math.min(left, group.count);
  keep("member_number", within);
  fields.member_number?.set(within);
}
