// Photographs: taken with the device, made smaller, kept at once with time, place and caption; removed only to be undone.
import { newId, sha256Hex } from "../ids.js";
import { now } from "../clock.js";
import { notePhoto, putPhoto, removePhoto } from "../store.js";
import { button, fill, h, newName, part, textField } from "./fields.js";
import { placeNow } from "./position.js";
import { smallerAside } from "./resize.js";

const MOST_BYTES = 60 * 1024 * 1024;
const MOST_UNREAD_BYTES = 12 * 1024 * 1024;

/** A picture as a canvas with its words: no address of a picture is made, so nothing has to be allowed for it. */
export async function thumbnailOf(blob, words, side = 132) {
  const canvas = h("canvas", { class: "thumbnail", role: "img", "aria-label": words, width: side, height: side });
  try {
    const bitmap = await createImageBitmap(blob);
    const ratio = side / Math.max(bitmap.width, bitmap.height);
    [canvas.width, canvas.height] = [bitmap.width, bitmap.height].map((one) => Math.max(1, Math.round(one * ratio)));
    canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
  } catch {
    return h("p", { class: "hint" }, `${words}: kept, cannot be shown on this device.`);
  }
  return canvas;
}

/** When it was taken: the file's own time, moved as far as this device's clock is off. */
function takenAt(file) {
  const age = Date.now() - (file.lastModified || Date.now());
  return new Date(now().getTime() - Math.max(0, age)).toISOString();
}

/** What becomes of a chosen file: {blob} to keep, with a word on it, or {refused: sentence}. */
async function prepared(file) {
  if (!file.type.startsWith("image/")) return { refused: `${file.name} is not a picture, and was not added.` };
  if (file.size > MOST_BYTES) return { refused: `${file.name} is larger than 60 MB and was not added; it stays where it is on this device. Take it again at a lower size.` };
  try {
    return await smallerAside(file);
  } catch {
    if (file.size > MOST_UNREAD_BYTES) return { refused: `${file.name} cannot be read on this device and was not added; it stays where it is. Set the camera to JPEG and take it again.` };
    return { blob: file, word: `${file.name} could not be made smaller here. It is kept as it is; the office says whether it can be read.` };
  }
}

/** Keep files as photographs of a work (and a finding). Sentences of what went wrong come back. */
export async function addPhotos(files, { work, finding = null, caption = "", heard }) {
  const told = [];
  for (const file of files) {
    const made = await prepared(file);
    if (made.refused) { told.push(made.refused); continue; }
    if (made.word) told.push(made.word);
    const photo = {
      identity: newId(), work, finding, blob: made.blob, sha256: await sha256Hex(made.blob), size_bytes: made.blob.size,
      caption, taken_at: takenAt(file), lon: null, lat: null,
    };
    try {
      await putPhoto(photo);
    } catch (problem) {
      told.push(`${file.name} could not be kept: ${problem?.message || "the store of this device refused it"} It stays where it is on this device.`);
      continue;
    }
    heard(photo);
    // The photograph is kept first; where it was taken follows if the device says so.
    placeNow().then((place) => { if (place) return notePhoto(photo.identity, Object.assign(photo, place) && place); }).catch(() => {});
  }
  return told;
}

/** Photographs of one finding, or of the whole visit where `finding` is null. */
export function photoBox(sheet, finding, words) {
  const list = h("ul", { class: "photos" });
  const told = h("div", { role: "status" });
  const box = h("div", { class: "photo-box" });
  const draw = () => fill(list, sheet.photosFor(finding).map((photo, place) => tile(sheet, photo, `Photograph ${place + 1} ${words}`, told)));
  const take = async (files) => {
    fill(told, h("p", { class: "hint" }, files.length === 1 ? "Keeping the photograph …" : `Keeping ${files.length} photographs …`));
    const sentences = await addPhotos(files, {
      work: sheet.work.identity, finding, heard: (photo) => { sheet.photos.push(photo); sheet.emit("photos"); sheet.changed("photo", photo.identity); },
    });
    fill(told, sentences.map((sentence) => h("p", { class: "fault" }, sentence)));
    if (!sentences.length) sheet.say("Photograph kept on this device.");
  };
  const hear = () => { if (box.isConnected) draw(); };
  sheet.on("photos", hear);
  draw();
  box.append(list, told, ...choosers(take, words));
  return box;
}

/** Two ways to a photograph: the camera at once, or pictures that are on the device already. */
export function choosers(take, words) {
  const chooser = (label, more) => {
    const id = newName("photo");
    const input = h("input", { id, type: "file", accept: "image/*", multiple: true, class: "visually-hidden file", ...more, onchange: async () => {
      const files = [...input.files];
      input.value = "";
      if (files.length) await take(files);
    } });
    return [input, h("label", { class: "button second file-button", for: id }, label, h("span", { class: "visually-hidden" }, ` ${words}`))];
  };
  return [h("div", { class: "acts" }, chooser("Take a photograph", { capture: "environment" }), chooser("Choose pictures", {}))];
}

function tile(sheet, photo, words, told) {
  const frame = h("div", { class: "frame" });
  thumbnailOf(photo.blob, photo.caption || words).then((picture) => fill(frame, picture));
  const keep = () => notePhoto(photo.identity, { caption: photo.caption }).catch(() => sheet.say("The caption is not saved yet; this device has no room."));
  let timer = null;
  const caption = textField({ name: "caption", label: `Caption, ${words.toLowerCase()}`, value: photo.caption, most: 200, onValue: (text) => {
    photo.caption = text;
    clearTimeout(timer);
    timer = setTimeout(keep, 400);
    sheet.changed("caption");
  } });
  caption.addEventListener("focusout", () => { clearTimeout(timer); keep(); });
  const remove = async () => {
    const place = sheet.photos.indexOf(photo);
    sheet.photos.splice(place, 1);
    await removePhoto(photo.identity);
    sheet.emit("photos");
    sheet.changed("photo", photo.identity);
    fill(told, h("p", { class: "undo" }, "Photograph removed. ", button("Put it back", async () => {
      await putPhoto(photo);
      sheet.photos.splice(place, 0, photo);
      fill(told);
      sheet.emit("photos");
      sheet.changed("photo", photo.identity);
    }, "second")));
    told.querySelector("button").focus();
  };
  return h("li", {}, frame, caption, button("Remove this photograph", remove, "second"));
}

export const photosPart = (sheet) => part("photos", "Photographs of the whole", photoBox(sheet, null, "of the whole"));
