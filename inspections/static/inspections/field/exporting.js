// The last resort: all unsent work with its photographs in one file, for the office to bring in.
import { now, today } from "./clock.js";
import { aboutDevice, asSent, contentOf } from "./sending/content.js";
import { allUnkeptPhotos, allWorks, changeWork, isUnsent, photosOf, setting } from "./store.js";

const STEP_BYTES = 3 * 64 * 1024; // a multiple of three: pieces of base64 can be joined

/** {blob, name, works, photos}: format 1 of the file of unsent work. */
export async function exportUnsent() {
  const about = await aboutDevice();
  const works = (await allWorks()).filter((work) => isUnsent(work) || work.frozen);
  const parts = [`{"spanledger_field_export":1,"device":${JSON.stringify(about.device)},"made_at":${JSON.stringify(now().toISOString())},`];
  parts.push(`"person":${JSON.stringify((await setting("person")) ?? null)},"works":[`);
  for (const [index, work] of works.entries()) { parts.push(index ? "," : "", JSON.stringify(asSent(await contentFor(work, about)))); }
  parts.push('],"photos":[');
  const photos = await allUnkeptPhotos();
  const places = new Map((await allWorks()).map((work) => [work.identity, work.structure ?? null]));
  for (const [index, photo] of photos.entries()) { parts.push(index ? "," : "", ...(await photoParts(photo, places.get(photo.work) ?? null))); }
  parts.push("]}");
  const blob = new Blob(parts, { type: "application/json" });
  return { blob, name: `spanledger-field-${today()}-${about.device.slice(0, 8)}.json`, works: works.length, photos: photos.length };
}

// The file and a later sending must not be two records: what goes into the file is frozen under its number.
async function contentFor(work, about) {
  if (work.frozen && work.frozen.changes === work.changes) { return work.frozen.content; }
  const content = contentOf(work, await photosOf(work.identity), about);
  if (work.state !== "ready" || work.frozen) { return content; }
  const row = await changeWork(work.identity, (current) => (current.frozen || current.changes !== work.changes ? null : { ...current, record: content.record, frozen: { content, changes: current.changes } }));
  return row?.frozen?.changes === work.changes ? row.frozen.content : content;
}

async function photoParts(photo, structure) {
  const { identity, sha256, size_bytes, caption, taken_at, lon, lat, blob } = photo;
  const head = JSON.stringify({ identity, sha256, size_bytes, structure, caption, taken_at, lon, lat });
  const parts = [`${head.slice(0, -1)},"base64":"`];
  for (let from = 0; from < blob.size; from += STEP_BYTES) {
    parts.push(new Blob([inBase64(new Uint8Array(await blob.slice(from, from + STEP_BYTES).arrayBuffer()))]));
  }
  parts.push('"}');
  return parts;
}

function inBase64(bytes) {
  let text = "";
  for (let from = 0; from < bytes.length; from += 8192) { text += String.fromCharCode(...bytes.subarray(from, from + 8192)); }
  return btoa(text);
}

/** Offer the file to the person's downloads. */
export function download({ blob, name }) {
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}
