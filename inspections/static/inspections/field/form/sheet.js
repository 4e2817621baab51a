// What all parts of the form share: the work, its pack and table, saving, photographs, and who hears of a change.
import { faultsOf, isGrave, missingFrom, questionsOf, rowOf } from "../evidence.js";
import { photosOf } from "../store.js";
import { WORDS } from "./words.js";

const wordOf = (list) => Object.fromEntries(WORDS[list]);
export const KIND = wordOf("kinds");
export const FACE = wordOf("faces");
export const METHOD = wordOf("methods");
export const CHANGE = wordOf("changes");
export const kindsInGroups = (sheet) => sheet.table?.groups
  ?? [{ code: "all", label: "All kinds", kinds: WORDS.kinds.map(([code]) => code) }];
export const ROLE = wordOf("member_roles");

export class Sheet {
  constructor({ work, pack, table, saver, say, signal }) {
    Object.assign(this, { work, pack, table, saver, say, signal });
    this.heard = new EventTarget();
    this.photos = [];
    this.go = () => {};
  }

  get inspection() { return this.work.body.inspection; }
  get findings() { return this.work.body.findings; }
  get elements() { return this.work.body.elements; }
  get channel() { return this.work.body.channel; }
  get typed() { return this.work.local.typed; }
  get spans() { return this.pack.spans || []; }
  get bars() { return this.spans.flatMap((span) => (span.bars || []).map((bar) => ({ ...bar, span_index: span.index }))); }

  on(name, hear) { this.heard.addEventListener(name, (event) => hear(event.detail)); }
  emit(name, detail) { this.heard.dispatchEvent(new CustomEvent(name, { detail })); }

  /** Something in the work is different now: saved soon, heard by the parts that count and list. */
  changed(what, detail) {
    this.saver.touch();
    this.emit("change", { what, detail });
  }

  span(index) { return this.spans.find((span) => span.index === index); }
  member(id) { return this.spans.flatMap((span) => span.members || []).find((member) => member.id === id); }
  bar(id) { return this.bars.find((bar) => bar.id === id); }

  async readPhotos() {
    this.photos = [...((await photosOf(this.work.identity)) || [])];
    this.emit("photos");
  }
  photosFor(finding) { return this.photos.filter((photo) => (photo.finding ?? null) === (finding ?? null)); }

  /** Fields that the register itself lacks cannot be asked of the inspector. */
  get waived() {
    const waived = [];
    if (!this.spans.length) waived.push("span_index");
    if (!this.spans.some((span) => (span.members || []).length)) waived.push("member", "member_number");
    if (!this.bars.length) waived.push("bar");
    return waived;
  }

  /** The table's row of a kind; without a table every field may be given and none is asked for. */
  row(kind) { return (this.table && rowOf(kind, this.table)) || null; }
  reading(name) { return this.table?.readings?.[name] ?? {}; }

  /** A finding as the rules see it: with its photograph, on the way or there before. */
  judged(finding) {
    const photo = this.photosFor(finding.identity)[0]?.identity ?? finding.photo ?? null;
    return { ...finding, photo };
  }

  /** Last time's finding that this one follows. */
  before(finding) {
    const key = finding.carries_on || this.work.local.carried?.[finding.identity];
    return (key && (this.pack.findings || []).find((row) => keyOf(row) === key)) || null;
  }

  known(finding) {
    return {
      before: this.before(finding), member: this.member(finding.member) ?? null, bar: this.bar(finding.bar) ?? null,
      span: this.span(finding.span_index) ?? null,
    };
  }

  /** What the rating still needs: [{field, words}]. */
  missing(finding) {
    if (!this.table || finding.change === "gone") return [];
    return missingFrom(this.judged(finding), this.table, { waived: this.waived });
  }

  /** What the office would refuse: [{field, words}]. */
  faults(finding) {
    if (!this.table || finding.change === "gone") return [];
    const { member, span } = this.known(finding);
    return faultsOf(this.judged(finding), this.table, { spanFt: span?.length_ft ?? null, member });
  }

  isGrave(finding) { return Boolean(this.table) && finding.change !== "gone" && isGrave(this.judged(finding), this.table); }

  /** What is only unlikely: [{key, words, field}], without what was answered already with the same values. */
  questions(finding) {
    if (!this.table || finding.change === "gone") return [];
    return [...questionsOf(this.judged(finding), this.table, this.known(finding)), ...this.unchanged(finding)]
      .map(({ field, words }) => ({ key: `${finding.identity}|${words}`, words, field }))
      .filter(({ key }) => !this.work.local.answered[key]);
  }
  /** Said to have grown or shrunk, with every size as it was. */
  unchanged(finding) {
    const before = this.before(finding);
    if (!before || !["grown", "less"].includes(finding.change)) return [];
    const given = SIZES.map(([name]) => name).filter((name) => Number.isFinite(before[name]));
    if (!given.length || given.some((name) => finding[name] !== before[name])) return [];
    return [{ field: given[0], words: `Marked “${CHANGE[finding.change]}”, but every size is as last time: measure it now.` }];
  }

  answer(key) {
    this.work.local.answered[key] = true;
    this.changed("answer");
  }

  /** What was typed and is no number, kept until it is one. */
  keepTyped(key, text) {
    if (text === null) delete this.typed[key];
    else this.typed[key] = text;
  }
  forgetTyped(start) {
    for (const key of Object.keys(this.typed)) if (key.startsWith(start)) delete this.typed[key];
  }
}

/** What tells one of last time's findings from the others: its identity, or its words where it is from before there were any. */
export const keyOf = (row) => row.identity || `${row.kind} ${row.seen_on ?? ""} ${row.words ?? ""}`;

/** Where a finding is, in words: Span 1, stringer 4, 12.5 ft. */
export function placeWords(sheet, finding) {
  const said = [];
  if (finding.span_index !== null && sheet.spans.length > 1) said.push(`span ${finding.span_index}`);
  const member = sheet.member(finding.member);
  if (member) said.push([member.role_words || ROLE[member.role] || member.name || "member", finding.member_number].filter(Boolean).join(" "));
  const bar = sheet.bar(finding.bar);
  if (bar) said.push(`bar ${bar.position}${bar.level && bar.level !== "mid" ? ` ${bar.level}` : ""}`);
  if (finding.station_ft !== null && finding.station_ft !== undefined) said.push(`${finding.station_ft} ft from the first bearing`);
  if (finding.face) said.push(FACE[finding.face]?.toLowerCase());
  return said.filter(Boolean).join(", ");
}

const SIZES = [
  ["depth_in", "deep", "in"], ["width_in", "wide", "in"], ["height_in", "high", "in"], ["extent_ft", "long", "ft"],
  ["value_in", "measured", "in"], ["area_pct", "of the area", "%"], ["moisture_pct", "moisture", "%"],
  ["resistance_pct", "of sound resistance", "%"], ["wave_time_us_per_ft", "", "µs/ft"], ["force_lb", "", "lb"],
];

export const sizeWords = (finding) =>
  SIZES.filter(([name]) => finding[name] !== null && finding[name] !== undefined)
    .map(([name, word, unit]) => `${Number(finding[name]).toLocaleString("en-US")} ${unit} ${word}`.trim()).join(", ");
