// Choose what to take along: a planned day or single structures; how far it is, how large, what is missing.
import { now } from "../clock.js";
import { SIGN_IN, SignedOut } from "../office.js";
import { lacking, offers, offersBefore, takeAlong } from "../packing.js";
import { allPacks } from "../store.js";
import { button, fill, h, link, sentences, setActions } from "./dom.js";
import { ageWords, dayWords, sizeWords } from "./words.js";

export async function packPage(container) {
  const progress = h("p", { role: "status", id: "pack-progress" });
  const bar = h("progress", { max: "1", value: "0", "aria-label": "Taken along", hidden: true });
  fill(container, h("h1", {}, "Take along"), h("p", { role: "status" }, "Asking the office what there is."));
  let offered;
  let trouble = null;
  try { offered = await offers(); } catch (error) { trouble = error; offered = await offersBefore(); }
  const packs = new Map((await allPacks()).map((pack) => [pack.structure.id, pack]));
  const structures = offered?.structures || [];
  const list = h("ul", { class: "plain", id: "offers" }, structures.map((each) => offerLine(each, packs.get(each.id))));
  fill(container, h("h1", {}, "Take along"),
    trouble ? h("p", { class: "caution" }, trouble.message, trouble instanceof SignedOut ? [" ", h("a", { href: SIGN_IN }, "Sign in")] : " Take along needs a signal.") : null,
    await keptWords(packs),
    days(offered?.days || [], structures, list),
    h("h2", {}, "Structures"),
    structures.length ? search(list) : h("p", {}, trouble ? "" : "The office offers no structure to you."),
    list, bar, progress,
  );
  const take = button("Take along", () => run(container, list, progress, bar));
  setActions(link("All structures", "#/", { class: "second" }), trouble ? null : take);
}

async function keptWords(packs) {
  const held = [...packs.values()];
  if (!held.length) { return h("p", {}, "Nothing is on this device yet."); }
  const bytes = held.reduce((sum, pack) => sum + (pack.kept?.bytes || 0), 0);
  const oldest = held.map((pack) => pack.kept?.at || "").sort()[0];
  const missing = held.filter((pack) => lacking(pack).length).length;
  return h("p", {}, `On this device: ${held.length} structure${held.length === 1 ? "" : "s"}, ${sizeWords(bytes)}, the oldest taken ${ageWords(oldest, now())}; ${missing ? `${missing} with something missing` : "nothing missing"}.`);
}

function offerLine(each, pack) {
  const due = (each.due || []).map((one) => one.words || `${one.kind} ${dayWords(one.due_on)}`);
  const held = pack ? `On this device: ${sizeWords(pack.kept?.bytes || 0)}, taken ${ageWords(pack.kept?.at, now())}.` : "";
  return h("li", { class: "card", "data-words": `${each.number} ${each.title}`.toLowerCase() },
    h("label", { class: "choice" }, h("input", { type: "checkbox", value: String(each.id) }), h("span", {}, h("strong", {}, each.number), ` ${each.title || ""}`)),
    sentences(due), held ? h("p", { class: "quiet" }, held) : null, pack ? sentences(lacking(pack)) : null);
}

function days(planned, structures, list) {
  if (!planned.length) { return null; }
  const known = new Set(structures.map((each) => each.id));
  return [h("h2", {}, "Planned days"), h("p", { class: "row" }, planned.map((day) => {
    // Two visits to one structure are one thing to take along.
    const stops = [...new Set(day.stops)].filter((id) => known.has(id));
    return button(`${dayWords(day.on)}${day.leader ? `, ${day.leader}` : ""}: ${stops.length} structure${stops.length === 1 ? "" : "s"}`, () => {
      for (const box of list.querySelectorAll("input")) { box.checked = stops.includes(Number(box.value)); }
      document.getElementById("pack-progress").textContent = `${stops.length} chosen. Press Take along.`;
    }, { class: "second" });
  }))];
}

function search(list) {
  const box = h("input", { type: "search", id: "offer-search" });
  box.addEventListener("input", () => {
    const wanted = box.value.trim().toLowerCase();
    for (const line of list.children) { line.hidden = !line.dataset.words.includes(wanted) && !line.querySelector("input").checked; }
  });
  return h("p", {}, h("label", { for: "offer-search" }, "Find by number or name"), box);
}

async function run(container, list, progress, bar) {
  const ids = [...list.querySelectorAll("input:checked")].map((box) => Number(box.value));
  if (!ids.length) { progress.textContent = "Choose a day or a structure first."; return; }
  bar.hidden = false;
  try {
    const { taken, sentences: told } = await takeAlong(ids, ({ done, of, words }) => {
      if (of) { bar.max = of; bar.value = done; }
      progress.textContent = words;
    });
    await packPage(container);
    const end = document.getElementById("pack-progress");
    end.textContent = `${taken} of ${ids.length} taken along.`;
    if (told.length) { end.after(sentences(told)); }
  } catch (error) {
    progress.textContent = `${error.message} What was taken along until now is kept; press again to go on.`;
  }
}
