// The first page: works in hand, and the structures taken along.
import { clockWords, now } from "../clock.js";
import { SIGN_IN, SignedOut, signOut } from "../office.js";
import { lacking } from "../packing.js";
import { allPacks, allWorks, photosOf, removePack, setting } from "../store.js";
import { button, fill, h, link, sentences, setActions } from "./dom.js";
import { storageWords } from "./storage.js";
import { ageWords, dueWords, isDraft, sizeWords, stateWords, titleOf } from "./words.js";

const OLD_DAYS = 7;

export async function listPage(container) {
  const [packs, works, person, storage] = await Promise.all([allPacks(), allWorks(), setting("person"), storageWords()]);
  const mine = packs.filter((pack) => !pack.kept?.person || !person || pack.kept.person.id === person.id);
  const others = packs.filter((pack) => !mine.includes(pack));
  const inHand = works.filter((work) => work.state !== "filed" || isDraft(work));
  fill(container, h("h1", {}, "In the field"),
    person ? h("p", { class: "quiet" }, `${person.name} on this device`) : null,
    sentences([clockWords(), ...storage.warnings].filter(Boolean), { class: "sentences caution-list" }),
    h("h2", {}, "In hand"),
    inHand.length ? h("ul", { class: "plain" }, await Promise.all(inHand.map((work) => workCard(work, person)))) : h("p", {}, "No record is being entered."),
    h("h2", {}, "Taken along"),
    mine.length ? h("ul", { class: "plain" }, mine.sort(byNumber).map((pack) => packCard(pack, works))) : h("p", {}, "No structure is on this device. Take along what you will visit while there is a signal."),
    others.length ? othersCard(others) : null,
    h("h2", {}, "This device"),
    sentences(storage.sentences),
    person ? signOutPart(mine, works) : null,
  );
  setActions(link("Take along", "#/pack"), link("Critical finding", "#/critical/", { class: "grave" }));
}

const byNumber = (a, b) => String(a.structure.number).localeCompare(String(b.structure.number), "en", { numeric: true });

async function workCard(work, person) {
  const photos = (await photosOf(work.identity)).filter((photo) => !photo.kept).length;
  const [word, sentence] = stateWords(work, photos);
  const isOthers = work.person && person && work.person.id !== person.id;
  return h("li", { class: "card" },
    h("p", {}, h("strong", {}, titleOf(work)), " ", h("span", { class: "word" }, word)),
    h("p", {}, sentence, isOthers ? ` Entered by ${work.person.name}.` : ""),
    h("p", { class: "row" }, link("Open", `#/entry/${work.identity}`, { class: "second" }), work.state === "open" ? null : link("How it stands", "#/unsent", { class: "second" })));
}

function packCard(pack, works) {
  const { structure, kept = {} } = pack;
  const isOld = kept.at && now() - new Date(kept.at) > OLD_DAYS * 86400000;
  const sentBack = (pack.drafts || []).filter((draft) => !works.some((work) => work.identity === draft.identity));
  return h("li", { class: "card" },
    h("p", {}, h("strong", {}, structure.number), ` ${structure.title || structure.road || ""}`),
    pack.posting?.words ? h("p", {}, `In force: ${pack.posting.words}`) : null,
    sentences(dueWords(pack)),
    sentences(sentBack.map((draft) => (draft.state === "sent_back" ? `Sent back: ${draft.review_reason || "see what is asked"}` : "A draft stands at the office"))),
    h("p", { class: "quiet" }, `${sizeWords(kept.bytes || 0)}, taken ${ageWords(kept.at, now())}.${isOld ? " Older than a week: take it along anew." : ""}${lacking(pack).length ? ` Missing: ${lacking(pack).length}.` : ""}`),
    h("p", { class: "row" }, link("Inspect", `#/start/${structure.id}`), link("Critical finding", `#/critical/${structure.id}`, { class: "second" })));
}

function signOutPart(packs, works) {
  const told = h("p", { role: "status" });
  const leave = button("Sign out of this device", async () => {
    const kept = works.length ? " Records stay on this device under your name until they are sent." : "";
    if (!window.confirm(`Sign out and delete what you took along?${kept}`)) { return; }
    try {
      await signOut();
    } catch (error) {
      if (!(error instanceof SignedOut)) { told.textContent = error.message; return; }
    }
    for (const pack of packs) { await removePack(pack.structure.id); }
    window.location.assign(SIGN_IN);
  }, { class: "second" });
  return [h("p", { class: "row" }, leave), told];
}

function othersCard(packs) {
  const names = [...new Set(packs.map((pack) => pack.kept.person.name))].join(", ");
  const remove = button("Delete these packs", async () => {
    for (const pack of packs) { await removePack(pack.structure.id); }
    window.dispatchEvent(new HashChangeEvent("hashchange"));
  }, { class: "second" });
  return h("section", { class: "card" },
    h("p", {}, `This device also holds ${packs.length} pack${packs.length === 1 ? "" : "s"} taken along by ${names}. They are left for ${names}, or you delete them; unsent records are kept either way.`), h("p", { class: "row" }, remove));
}
