// Every work and where it stands; send now, file, and the choice where two devices met.
import { now } from "../clock.js";
import { download, exportUnsent } from "../exporting.js";
import { SIGN_IN } from "../office.js";
import { sendAll, sendingState } from "../sender.js";
import { allAnswered, allUnkeptPhotos, allWorks, changeWork, photosOf, removePhoto, removeWork, setting } from "../store.js";
import { button, fill, h, link, sentences, setActions } from "./dom.js";
import { meetingPart } from "./meet.js";
import { ageWords, kindWord, stateWords, titleOf, unsentWords } from "./words.js";

export async function unsentPage(container) {
  const [works, photos, person, answered] = await Promise.all([allWorks(), allUnkeptPhotos(), setting("person"), allAnswered()]);
  const orphans = photos.filter((photo) => !works.some((work) => work.identity === photo.work));
  const state = sendingState();
  fill(container, h("h1", {}, "Unsent work"),
    h("p", { id: "sending-words" }, state.words || "Sending goes by itself when there is a signal."),
    state.state === "signed_out" ? h("p", { class: "row" }, link("Sign in", SIGN_IN)) : null,
    works.length ? h("ul", { class: "plain" }, await Promise.all(works.map((work) => workCard(work, person)))) : h("p", {}, "No record is on this device."),
    orphans.length ? h("p", {}, unsentWords({ works: 0, photos: orphans.length }), " of records that are at the office.") : null,
    h("p", { id: "export-told", role: "status" }),
    sentPart(answered),
  );
  setActions(button("Send now", () => sendAll({ reason: "pressed" })), button("Save to a file", () => toFile(), { class: "second" }));
}

async function toFile() {
  const made = await exportUnsent();
  const words = document.getElementById("export-told");
  if (!made.works && !made.photos) { words.textContent = "There is nothing unsent to put into a file."; return; }
  download(made);
  words.textContent = `${made.name}: ${made.works} record${made.works === 1 ? "" : "s"} and ${made.photos} photo${made.photos === 1 ? "" : "s"}. Bring it to the office (page “Records from the field”). Everything stays on this device until the office has answered.`;
}

async function workCard(work, person) {
  const photos = await photosOf(work.identity);
  const [word, sentence] = stateWords(work, photos.filter((photo) => !photo.kept).length);
  return h("li", { class: "card", "data-work": work.identity },
    h("p", {}, h("strong", {}, titleOf(work)), " ", h("span", { class: "word" }, word)),
    h("p", {}, sentence), sentences(work.answer?.sentences),
    work.answer?.held_for === "meeting" && work.state === "held" ? meetingPart(work) : null,
    photos.filter((photo) => photo.problem).map(photoPart),
    othersPart(work, person),
    h("p", { class: "row" }, link("Open", `#/entry/${work.identity}`, { class: "second" }), problemButton(work), forgetButton(work), deleteButton(work, photos.length)));
}

function photoPart(photo) {
  return h("div", {}, h("p", {}, `Photo ${photo.caption || "without words"} was not taken:`), sentences(photo.problem.sentences),
    button("Delete this photo", async () => { if (window.confirm("Delete this photo from the device? The office has not got it.")) { await removePhoto(photo.identity); } }, { class: "second" }));
}

// Never under another's name without saying so.
function othersPart(work, person) {
  if (!work.person || !person || work.person.id === person.id) { return null; }
  if (work.taken_over_by === person.id) { return h("p", {}, `Entered by ${work.person.name}; ${person.name} sends it, and the record says so.`); }
  return h("div", {},
    h("p", { class: "caution" }, `Entered by ${work.person.name}. It waits until ${work.person.name} signs in on this device.`),
    button(`Send it as ${person.name}, entered by ${work.person.name}`, async () => {
      await changeWork(work.identity, (row) => ({ ...row, taken_over_by: person.id }));
      await sendAll({ reason: "pressed" });
    }, { class: "second" }));
}

function problemButton(work) {
  if (work.problem?.kind !== "clash") { return null; }
  return button("Send again under a new number", () => sendAll({ reason: "pressed" }));
}

// The office named this record back; only then may the device let go of it before it is settled.
function forgetButton(work) {
  const isThere = work.state === "held" && work.answer?.held_for !== "meeting";
  return isThere ? button("Take off this device", async () => {
    const left = (await photosOf(work.identity)).filter((photo) => !photo.kept).length;
    if (left) { window.alert(`${left} photo${left === 1 ? " is" : "s are"} not at the office yet: send first.`); return; }
    await removeWork(work.identity, { record: work.answer.record, identity: work.identity, kind: work.kind, structure: work.structure, number: work.number, at: work.sent_at, sentences: work.answer.sentences || [], inspection: null, photos: 0, person: work.person });
  }, { class: "second" }) : null;
}

// Begun by mistake and never sent: the only thing here that a person can throw away.
function deleteButton(work, photos) {
  if (work.state !== "open" || work.answer || work.frozen) { return null; }
  return button("Delete", async () => {
    const sure = window.confirm(`Delete “${titleOf(work)}” with ${photos} photo${photos === 1 ? "" : "s"} from this device? The office has not got it, and it cannot be brought back.`);
    if (sure) { await removeWork(work.identity); }
  }, { class: "second" });
}

function sentPart(answered) {
  if (!answered.length) { return null; }
  const newest = [...answered].sort((a, b) => (a.at < b.at ? 1 : -1));
  return h("details", {}, h("summary", {}, `What went to the office (${newest.length})`), h("ul", { class: "plain" }, newest.map((one) => h("li", {},
    h("strong", {}, one.number || ""), ` ${one.kind === "inspection" ? `${kindWord(one.what)} inspection` : one.kind === "critical" ? "critical finding" : "sign"}, ${one.photos} photo${one.photos === 1 ? "" : "s"}, sent ${ageWords(one.at, now())}.`,
    sentences(one.sentences)))));
}
