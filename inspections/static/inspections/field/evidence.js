// What a finding still lacks, what cannot be, and what is asked about: the evidence table, applied on the device.
// The server applies the same rows in inspections/rules/evidence.py; a test holds the two together, word for word.
// A finding is an object of the columns by name; an empty box is null or "". `known` holds what is known beside it:
// {before: the same finding last time, member: {role, width_in, depth_in}, bar: {last_force_lb}, span: {length_ft}}.

const number = (value) => (typeof value === "number" && Number.isFinite(value) ? value : null);
const isGiven = (finding, field) => finding[field] !== undefined && finding[field] !== null && finding[field] !== "";
const inOrNothing = (object, key) => (object && Object.hasOwn(object, key) ? object[key] : null);

/** A number in words: 0.75, 12, 250000; at most four digits after the point, none of them idle. */
export function inFigures(value) {
  const size = Math.abs(value);
  if (size >= 1e15) { return "a number far too large"; }
  const text = String(Math.floor(size * 1e4 + 0.5) / 1e4);
  return text === "0" || value >= 0 ? text : `-${text}`;
}

/** The row of the table for a kind of finding, or null. */
export function rowOf(kind, table) {
  return typeof kind === "string" ? inOrNothing(table.kinds, kind) : null;
}

function otherOf(when, finding, known) {
  const [owner, name] = when.of.includes(".") ? when.of.split(".") : ["", when.of];
  const holder = owner ? inOrNothing(known, owner) : finding;
  return holder ? number(holder[name]) : null;
}

function holds(when, finding, known) {
  const value = finding[when.field] ?? null;
  if (when.op === "is") { return value === when.value; }
  if (when.op === "isnt") { return value !== when.value; }
  if (when.op === "in") { return when.value.includes(value); }
  if (when.op === "given") { return isGiven(finding, when.field); }
  const amount = number(value);
  if (amount === null) { return false; }
  if (when.op === "below") { return amount < when.value; }
  if (when.op === "above") { return amount > when.value; }
  if (when.op === "least") { return amount >= when.value; }
  const other = otherOf(when, finding, known);
  if (other === null) { return false; }
  if (when.op === "under") { return amount < when.value * other - when.more; }
  if (when.op === "over") { return amount > when.value * other + when.more; }
  return Math.abs(amount - other) > when.value * Math.abs(other);
}

const allHold = (conditions, finding, known) => conditions.every((when) => holds(when, finding, known));

function stillNeeded(needs, finding, table) {
  if (!allHold(needs.when, finding, {})) { return []; }
  const has = (name) => isGiven(finding, name) && !(needs.above_zero && number(finding[name]) === 0);
  let lacking = needs.fields.filter((name) => !has(name));
  if (needs.any_of) { lacking = lacking.length === needs.fields.length ? needs.fields.slice(-1) : []; }
  return lacking.map((field) => ({ field, words: needs.words || table.readings[field].label, any_of: needs.any_of ? needs.fields : [] }));
}

/**
 * What is still missing: [{field, words, any_of}]; `any_of` names the fields of which one is enough (else it is empty).
 * `waived`: fields that cannot be given because the structure's record lacks them (spans, members).
 */
export function missingFrom(finding, table, { waived = [] } = {}) {
  const row = rowOf(finding.kind, table);
  if (!row) { return [{ field: "kind", words: "the kind of finding", any_of: [] }]; }
  const missing = [
    ...row.needs.filter((name) => !isGiven(finding, name)),
    ...row.above_zero.filter((name) => number(finding[name]) === 0),
  ];
  const wanted = missing.map((field) => ({ field, words: table.readings[field].label, any_of: [] }));
  for (const needs of [...row.further, ...table.every.further]) {
    for (const told of stillNeeded(needs, finding, table)) {
      if (!wanted.some((other) => other.field === told.field)) { wanted.push(told); }
    }
  }
  return wanted.filter((told) => !waived.includes(told.field));
}

function rangeWords(finding, name, reading) {
  const value = number(finding[name]);
  if (value === null) { return [`${reading.label} is '${finding[name]}', which is not a number.`]; }
  if (!(reading.least <= value && value <= reading.most)) {
    const unit = `${reading.sign || reading.unit}`;
    return [`${reading.label} is ${inFigures(value)}, outside ${inFigures(reading.least)} to ${inFigures(reading.most)}${unit ? ` ${unit}` : ""}; correct it.`];
  }
  if (reading.whole && !Number.isInteger(value)) {
    return [`${reading.label} is ${inFigures(value)}, which is not a whole number; count again.`];
  }
  return [];
}

/** What cannot be, and is refused by the server as well: [{field, words}]. `member` as in the pack, where one is chosen. */
export function faultsOf(finding, table, { spanFt = null, member = null } = {}) {
  const told = [];
  for (const [field, reading] of Object.entries(table.readings)) {
    if (reading.least !== null && isGiven(finding, field)) {
      for (const words of rangeWords(finding, field, reading)) { told.push({ field, words }); }
    }
  }
  const station = number(finding.station_ft);
  if (spanFt !== null && station !== null && station > spanFt + table.beyond_ft) {
    told.push({
      field: "station_ft",
      words: `${inFigures(station)} ft from the first bearing is beyond the span of ${inFigures(spanFt)} ft; measure from the bearing with the lower station.`,
    });
  }
  const row = rowOf(finding.kind, table);
  if (row && row.faces.length && isGiven(finding, "face") && !row.faces.includes(finding.face)) {
    const labels = row.faces.map((code) => table.faces.find((face) => face.code === code).label.toLowerCase());
    told.push({ field: "face", words: `the face must be one of ${labels.join(", ")}.` });
  }
  return member && row ? [...told, ...sizeFaults(finding, row, member, table)] : told;
}

function sizeFaults(finding, row, member, table) {
  const told = new Map();
  const isOneOfMany = table.member.side_by_side.includes(member.role);
  for (const fits of row.fits) {
    const value = number(finding[fits.field]);
    const most = Math.max(...fits.sizes.map((size) => member[size]));
    if (value === null || value <= most + table.member.slack_in || (fits.unless_side_by_side && isOneOfMany)) { continue; }
    if (fits.faces.length && !fits.faces.includes(finding.face)) { continue; }
    const shown = inFigures(most);
    told.set(fits.field, `${fits.name} is ${inFigures(value)} in, but the member is ${shown} in ${fits.word} on record (0 to ${shown}); ${table.member.next}`);
  }
  const offset = number(finding.offset_in);
  const height = number(finding.height_in) ?? 0;
  if (row.within_member && !told.has("height_in") && offset !== null
    && Math.abs(offset) + height / 2 > member.depth_in / 2 + table.member.slack_in) {
    const room = Math.max(0, (member.depth_in - height) / 2);
    told.set("offset_in", `A hole ${inFigures(height)} in high with its centre ${inFigures(offset)} in from mid-depth reaches out of a member ${inFigures(member.depth_in)} in deep (the centre lies from ${inFigures(-room)} to ${inFigures(room)}); ${table.member.next}`);
  }
  return [...told].map(([field, words]) => ({ field, words }));
}

/** What is unlikely, asked and never blocked: [{field, words}]. */
export function questionsOf(finding, table, known = {}) {
  const row = rowOf(finding.kind, table);
  return [...(row ? row.questions : []), ...table.every.questions]
    .filter((asks) => allHold(asks.when, finding, known))
    .map((asks) => {
      const first = asks.when[0];
      const value = number(finding[first.field]);
      const other = first.of ? otherOf(first, finding, known) : null;
      const words = asks.words.replaceAll("{value}", value === null ? "" : inFigures(value));
      return { field: asks.field, words: words.replaceAll("{other}", other === null ? "" : inFigures(other)) };
    });
}

/** Whether the finding calls for the engineer at once: show table.before_recording. */
export function isGrave(finding, table) {
  const row = rowOf(finding.kind, table);
  return [...(row ? row.grave : []), ...table.every.grave].some((way) => allHold(way, finding, {}));
}

/** Sentences where the quantities of an element are missing, below zero or do not add up. */
export function elementFaults(element, table) {
  if (!isGiven(element, "number")) {
    return ["An element row has no element number: choose the element or clear the row."];
  }
  const where = `Element ${element.number}`;
  const amounts = ["total", "cs1", "cs2", "cs3", "cs4"].map((name) => number(element[name]));
  if (amounts.includes(null)) {
    return [`${where}: give the total and the quantity in each condition state as numbers, 0 where there is none.`];
  }
  if (amounts.some((amount) => amount < 0)) { return [`${where}: a quantity below zero cannot be; correct it.`]; }
  const [total, ...states] = amounts;
  const parts = states.reduce((sum, amount) => sum + amount, 0);
  if (total === 0) { return [`${where}: the total quantity is zero; give the quantity or clear the row.`]; }
  if (Math.abs(parts - total) > Math.max(table.tolerance.ratio * total, table.tolerance.least)) {
    const said = `${where}: condition states 1 to 4 add up to ${inFigures(parts)} but the total is ${inFigures(total)}`;
    return [`${`${said} ${element.unit ?? ""}`.trimEnd()}; correct one of them.`];
  }
  return [];
}

const listed = (words) => words.join(" and the ");

/** What the whole inspection lacks before it may be submitted, besides the evidence of each finding: sentences. */
export function inspectionFaults(inspection, findings, table, today) {
  const faults = [];
  const completed = inspection.field_completed_on;
  if (!completed) {
    faults.push("Give the day on which the field work was completed: it is the date of the inspection.");
  } else if (completed > today) {
    faults.push(`The field work cannot have been completed on ${completed}, which is still to come.`);
  }
  const rated = (part) => inspection[`${part}_rating`] || "";
  if (table.full_kinds.includes(inspection.kind) && ["", "N"].includes(rated("culvert"))) {
    const wanted = table.wanted_components.filter((part) => rated(part) === "");
    const words = wanted.map((part) => table.components.find((row) => row.code === part).label.toLowerCase());
    if (words.length) {
      faults.push(`Give the component rating of the ${listed(words)} (0 to 9, or N where there is none).`);
    }
  }
  if (inspection.kind === "bar_check" && !findings.some((finding) => finding.kind === "bar_force")) {
    faults.push("A bar-force check needs at least one bar reading.");
  }
  return faults;
}
