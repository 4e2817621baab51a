// Taking structures along: each pack with its pictures whole or not at all, then what every pack needs.
import { now } from "./clock.js";
import { Refusal, ask, askPicture, whoami } from "./office.js";
import { getPack, getPackPhoto, notePack, putPack, setSetting, setting } from "./store.js";

const PICTURES_AT_ONCE = 3;

/** What there is to take: {structures, days}, kept for the hours without signal. */
export async function offers() {
  const { body } = await ask("/field/packs/");
  await setSetting("offers", { ...body, at: now().toISOString() });
  return body;
}

export const offersBefore = () => setting("offers");

/** Take the structures along. `tell({done, of, words})` after each; resolves with {taken, sentences}. */
export async function takeAlong(ids, tell) {
  const sentences = [];
  const { person, table_version } = await whoami();
  await takeTable(table_version);
  const dues = new Map(((await offersBefore())?.structures || []).map((each) => [each.id, each.due || []]));
  let taken = 0;
  for (const [index, id] of ids.entries()) {
    tell({ done: index, of: ids.length, words: `Taking ${index + 1} of ${ids.length} along` });
    try {
      await takeOne(id, person, dues.get(id) || [], tell);
      taken += 1;
    } catch (error) {
      if (!(error instanceof Refusal)) { throw error; }
      sentences.push(...error.sentences);
    }
  }
  tell({ done: ids.length, of: ids.length, words: `${taken} of ${ids.length} taken along` });
  return { taken, sentences };
}

async function takeTable(version) {
  const kept = await setting("table");
  if (kept && kept.version === version) { return; }
  await setSetting("table", (await ask("/field/table/")).body);
}

async function takeOne(id, person, due, tell) {
  const before = await getPack(id);
  const isOwn = before?.kept?.person?.id === person.id;
  const isWhole = isOwn && before.kept.etag && !before.kept.missing_photos;
  const answer = await ask(`/field/packs/${id}/`, { headers: isWhole ? { "If-None-Match": before.kept.etag } : {} });
  const at = now().toISOString();
  if (answer.status === 304) { await notePack(id, { at, due }); return; }
  const pack = answer.body;
  const wanted = pack.photos || [];
  const pictures = [];
  for (let from = 0; from < wanted.length; from += PICTURES_AT_ONCE) {
    tell({ words: `${pack.structure.number}: picture ${from + 1} of ${wanted.length}` });
    const some = wanted.slice(from, from + PICTURES_AT_ONCE);
    const blobs = await Promise.all(some.map((photo) => pictureOf(id, photo.id, isOwn)));
    blobs.forEach((blob, place) => { if (blob) { pictures.push({ id: some[place].id, blob }); } });
  }
  const bytes = answer.size + pictures.reduce((sum, { blob }) => sum + blob.size, 0);
  const kept = { person, at, due, bytes, etag: answer.etag, missing_photos: wanted.length - pictures.length };
  await putPack({ ...pack, kept }, pictures);
}

// A picture never changes under its number: what this person took along before is not fetched twice.
async function pictureOf(structure, photo, isOwn) {
  const kept = isOwn ? await getPackPhoto(photo) : null;
  if (!kept) { return askPicture(`/field/packs/${structure}/photos/${photo}/`); }
  // Its bytes, not the stored picture itself: the old row goes in the transaction that writes the new one.
  return new Blob([await kept.arrayBuffer()], { type: kept.type });
}

/** What a pack lacks, in sentences. */
export function lacking(pack) {
  const lost = pack.kept?.missing_photos || 0;
  return [...(pack.missing || []), ...(lost ? [`${lost} earlier photo${lost === 1 ? "" : "s"} could not be fetched: take it along again.`] : [])];
}
