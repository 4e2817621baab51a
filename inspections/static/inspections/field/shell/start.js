// One structure taken along: what to know before, and what to begin.
import { now } from "../clock.js";
import { lacking } from "../packing.js";
import { allWorks, getPack, removePack, saveWork } from "../store.js";
import { button, fill, h, link, sentences, setActions } from "./dom.js";
import { ageWords, dueWords, isDraft, kindWord, kindsOfInspection, sizeWords, stateWords, titleOf } from "./words.js";

export async function startPage(container, id, form) {
  const pack = await getPack(id);
  if (!pack) {
    fill(container, h("h1", {}, "Not on this device"), h("p", {}, "This structure is not taken along. With a signal, take it along first; a critical finding can be recorded all the same."));
    setActions(link("Take along", "#/pack"), link("Critical finding", `#/critical/${id}`, { class: "grave" }));
    return;
  }
  const works = (await allWorks()).filter((work) => work.structure === pack.structure.id && (work.state !== "filed" || isDraft(work)));
  const drafts = (pack.drafts || []).filter((draft) => !works.some((work) => work.identity === draft.identity));
  fill(container, h("h1", {}, `${pack.structure.number} ${pack.structure.title || ""}`),
    pack.posting?.words ? h("p", {}, h("strong", {}, `In force: ${pack.posting.words}`)) : null,
    inHand(works), sentBack(pack, drafts, form),
    h("h2", {}, "Begin an inspection"),
    sentences(dueWords(pack)),
    h("p", { class: "row" }, kindsOfInspection().map(([kind, word]) => button(word, () => begin(form.startInspection(pack, kind)), { class: isOwed(pack, kind) ? "" : "second" }))),
    h("h2", {}, "The pack"),
    h("p", {}, `${sizeWords(pack.kept?.bytes || 0)}, taken ${ageWords(pack.kept?.at, now())}; evidence table ${String(pack.table_version || "unknown").slice(0, 8)}.`),
    sentences(lacking(pack)) || h("p", {}, "Nothing is missing from it."),
    h("p", { class: "row" }, button("Delete this pack", async () => {
      if (window.confirm("Delete this pack from the device? Records entered here are kept.")) { await removePack(pack.structure.id); window.location.hash = "#/"; }
    }, { class: "second" })),
  );
  setActions(link("All structures", "#/", { class: "second" }), link("Critical finding", `#/critical/${id}`, { class: "grave" }));
}

function isOwed(pack, kind) { return kind === "routine" || [...(pack.visits || []), ...(pack.kept?.due || [])].some((visit) => visit.kind === kind); }

async function begin(work) {
  await saveWork(work);
  window.location.hash = `#/entry/${work.identity}`;
}

function inHand(works) {
  return works.length ? [h("h2", {}, "In hand"), h("ul", { class: "plain" }, works.map((work) => h("li", { class: "card" },
    h("p", {}, h("strong", {}, titleOf(work)), " ", h("span", { class: "word" }, stateWords(work)[0])),
    h("p", { class: "row" }, link("Go on", `#/entry/${work.identity}`)))))] : null;
}

function sentBack(pack, drafts, form) {
  return drafts.length ? [h("h2", {}, "Waiting at the office"), h("ul", { class: "plain" }, drafts.map((draft) => h("li", { class: "card" },
    h("p", {}, h("strong", {}, `${kindWord(draft.kind)}: ${draft.state === "sent_back" ? "sent back" : "draft"}`)),
    draft.review_reason ? h("p", {}, draft.review_reason) : null,
    h("p", { class: "row" }, button("Go on with it", () => begin(form.workOfDraft(pack, draft)))))))] : null;
}
