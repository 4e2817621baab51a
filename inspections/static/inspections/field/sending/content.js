// One work as one content with its own number: frozen until the office has answered it, so that a lost answer is asked
// for again with the same number and the same content.
import { correction, now } from "../clock.js";
import { newId } from "../ids.js";
import { setSetting, setting } from "../store.js";

/** The identity of this device, made at its first record. */
export async function deviceId() {
  const known = await setting("device");
  if (known) { return known; }
  const made = newId();
  await setSetting("device", made);
  return made;
}

/** What every record of this device says of the device and its app. */
export async function aboutDevice() {
  const table = await setting("table");
  return { device: await deviceId(), app_version: globalThis.document?.body.dataset.version || globalThis.FIELD_VERSION || "", table_version: table?.version ?? "" };
}

function photoLine({ identity, sha256, size_bytes, caption, taken_at, lon, lat, finding }) {
  return { identity, sha256, size_bytes, caption, taken_at, lon, lat, finding };
}

/** The record of a work (format 1), all but the moment of sending. */
export function contentOf(work, photos, about, record = newId()) {
  const body = structuredClone(work.body);
  if (body.inspection) { Object.assign(body.inspection, { identity: work.identity, base_revision: work.base_revision ?? null }); }
  if (body.critical) { body.critical.identity = work.identity; }
  return {
    format: 1, kind: work.kind, record, ...about,
    made_at: now().toISOString(), clock_correction_s: correction(), made_by: work.person,
    structure: work.structure ?? null, structure_number: work.number ?? "",
    ...(work.resolves ? { resolves: work.resolves } : {}),
    ...body, photos: photos.map(photoLine),
  };
}

/** What goes over the line: the frozen content and the moment by the device's own clock. */
export function asSent(content) { return { ...content, device_now: new Date().toISOString() }; }

/** Whether this person may send it: made by them, by nobody known, or taken over in so many words. */
export function maySend(work, person) {
  return !work.person || work.person.id === person.id || work.taken_over_by === person.id;
}

/** Critical findings first, then what was changed longest ago. */
export function inOrder(works) {
  const rank = (work) => (work.kind === "critical" ? 0 : 1);
  return [...works].sort((a, b) => rank(a) - rank(b) || (a.changed_at < b.changed_at ? -1 : 1));
}
