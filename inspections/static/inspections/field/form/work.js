// One inspection on this device: how it begins, and what of last time goes into it.
import { newId } from "../ids.js";
import { now } from "../clock.js";
import { localDay } from "./fields.js";

/** Columns of a finding, as the record takes them. Sizes are numbers or null. */
export const NUMBERS = [
  "span_index", "member_number", "station_ft", "across_ft", "extent_ft", "depth_in", "width_in", "height_in", "offset_in",
  "moisture_pct", "moisture_depth_in", "resistance_pct", "wave_time_us_per_ft", "force_lb", "gauge_psi", "wood_temp_f",
  "value_in", "area_pct", "condition_state",
];
const CHOICES = ["face", "force_method", "note"];
const ROWS = ["member", "bar", "jack"];
export const RATINGS = [
  "deck_rating", "superstructure_rating", "substructure_rating", "channel_rating", "culvert_rating", "scour_rating",
  "protection_rating", "underwater_rating",
];

export function newFinding(kind, values = {}) {
  const finding = { identity: newId(), carries_on: null, change: "new", kind, repeats_lb: [] };
  for (const name of [...NUMBERS, ...ROWS]) finding[name] = values[name] ?? null;
  for (const name of CHOICES) finding[name] = values[name] ?? "";
  if (Array.isArray(values.repeats_lb)) finding.repeats_lb = [...values.repeats_lb];
  return finding;
}

/** A finding of this time that follows one of last time: its sizes as they were, until they are changed. */
export function carriedFinding(before, change) {
  const finding = newFinding(before.kind, before);
  return { ...finding, repeats_lb: [], carries_on: before.identity ?? null, change };
}

function emptyInspection(identity, kind) {
  const inspection = {
    identity, kind, base_revision: null, leader: null, field_completed_on: localDay(now()), team: "", weather: "",
    air_temp_f: null, rating_reasons: {}, notes: "", submit: false,
  };
  for (const name of RATINGS) inspection[name] = "";
  return inspection;
}

const newWork = (structure, identity) => ({
  identity, kind: "inspection", structure: structure.id, number: structure.number, state: "open", base_revision: null,
  record: null, changed_at: now().toISOString(), answer: null, local: { typed: {}, answered: {}, removed: [] },
});

/** A new inspection of the pack's structure. It is not saved yet; showing it saves it. */
export function startInspection(pack, kind) {
  const identity = newId();
  const body = { inspection: emptyInspection(identity, kind), findings: [], elements: [], channel: [] };
  return { ...newWork(pack.structure, identity), body };
}

/** The work that goes on with a draft or a sent-back inspection of the pack. */
export function workOfDraft(pack, draft) {
  const inspection = { ...emptyInspection(draft.identity, draft.kind), ...(draft.inspection || {}) };
  inspection.base_revision = draft.revision;
  inspection.submit = false;
  inspection.asked = structuredClone(draft.asked || []);
  inspection.field_completed_on = inspection.field_completed_on || localDay(now());
  const findings = (draft.findings || []).map((row) => ({ ...newFinding(row.kind, row), ...row, identity: row.identity || newId() }));
  const body = {
    inspection, findings, elements: structuredClone(draft.elements || []), channel: structuredClone(draft.channel || []),
  };
  return {
    ...newWork(pack.structure, draft.identity), base_revision: draft.revision, body, review_reason: draft.review_reason || "",
  };
}

/** Whatever an older form or another device left out is there, so that no part of the page has to ask. */
export function completed(work) {
  work.local ??= {};
  work.local.typed ??= {};
  work.local.answered ??= {};
  work.local.removed ??= [];
  work.body ??= {};
  work.body.inspection ??= emptyInspection(work.identity, "routine");
  for (const name of ["findings", "elements", "channel"]) work.body[name] ??= [];
  work.body.inspection.rating_reasons ??= {};
  for (const finding of work.body.findings) finding.repeats_lb ??= [];
  return work;
}

/** Structure and places, where the pack itself is no longer on the device. */
export const barePack = (work) => ({
  structure: { id: work.structure, number: work.number, title: "" }, spans: [], findings: [], elements: [], ratings: {},
  channel: [], jacks: [], leaders: [], photos: [], drafts: [], contacts: [], missing: [], isBare: true,
});
