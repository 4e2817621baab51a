// A critical finding: whom to call first, then one press records it and sends it before everything else.
import { now } from "../clock.js";
import { newId } from "../ids.js";
import { sendAll } from "../sender.js";
import { photosOf, saveWork } from "../store.js";
import { button, clockWords, fill, h, moveTo, textField } from "./fields.js";
import { addPhotos, choosers, thumbnailOf } from "./photos.js";
import { WORDS } from "./words.js";

const ROLE_WORDS = Object.fromEntries(WORDS.contact_roles);
const KIND_WORDS = Object.fromEntries(WORDS.critical_kinds);
const ALWAYS = ["sheriff", "engineer"];
const HOW = [["call", "by telephone"], ["radio", "by radio"], ["person", "in person"]];
const SEND_AFTER_MS = 2500;
const KEEP_AFTER_MS = 400;

/** `contacts` [{role, name, phone, note}]; `known` is a critical work that was begun before. */
export function showCritical(container, pack, contacts, known = null) {
  // The county keeps its numbers in the order of calling.
  const people = contacts?.length ? contacts : pack?.contacts || [];
  const page = new CriticalPage(pack, people, known);
  fill(container, page.element);
  moveTo(page.element.querySelector("h1"));
  return { close: () => page.close() };
}

const dialled = (phone) => `tel:${String(phone || "").replace(/[^\d+*#,;]/g, "")}`;

class CriticalPage {
  constructor(pack, people, known) {
    this.pack = pack;
    this.work = known ?? {
      identity: newId(), kind: "critical", structure: pack?.structure.id ?? null, number: pack?.structure.number ?? "", state: "open",
      base_revision: null, record: null, changed_at: now().toISOString(), answer: null, local: {},
      body: { critical: { kind: "", words: "", found_at: now().toISOString(), notices: [] } },
    };
    this.work.body.critical.identity = this.work.identity;
    this.critical.notices ??= [];
    this.isRecorded = Boolean(known && this.critical.kind);
    this.timer = null;
    this.told = h("div", { class: "recorded", role: "status" });
    this.kinds = WORDS.critical_kinds.map(([code, words]) => h("button", {
      type: "button", class: "second critical-kind", "data-kind": code, "aria-pressed": String(this.critical.kind === code), onclick: () => this.record(code),
    }, words));
    this.number = this.work.structure || this.isRecorded ? null : textField({ name: "number", label: "Number of the structure", value: this.work.number, most: 40, need: true, onValue: (text) => { this.work.number = text.trim(); this.later(); } });
    this.notices = h("ul", { class: "notices-told" });
    this.pictures = h("ul", { class: "photos" });
    this.photoTold = h("div", { role: "status" });
    this.element = h("div", { class: "field-form critical" }, this.head(), this.call(people), this.recordPart(), this.tellPart(people), this.more());
    this.drawNotices();
    this.drawPhotos();
    if (this.isRecorded) this.say(`Recorded. ${this.critical.words}`);
  }

  get critical() { return this.work.body.critical; }

  head() {
    return h("header", { class: "critical-head" }, h("h1", {}, "Critical finding", this.work.number ? ` at ${this.work.number}` : ""),
      h("p", { class: "orders" }, ["Stay.", "Block the road.", "Call.", "Then record."].map((words) => h("strong", {}, words, " "))));
  }

  call(people) {
    return h("section", { class: "panel", "aria-labelledby": "call-heading" }, h("h2", { id: "call-heading" }, "Call now"),
      people.length
        ? h("ul", { class: "calls" }, people.map(({ role, name, phone, note }) => h("li", {}, h("a", { class: "button call-now", href: dialled(phone) },
          h("span", {}, `${ROLE_WORDS[role] ?? "Call"}${name ? `: ${name}` : ""}`), h("strong", {}, phone)), note ? h("p", { class: "hint" }, note) : null)))
        : h("p", { class: "caution" }, "No telephone numbers are kept on this device. Call the sheriff by the emergency number, then the county's engineer."));
  }

  recordPart() {
    return h("section", { class: "panel", "aria-labelledby": "record-heading" }, h("h2", { id: "record-heading" }, "Then record: press what it is"),
      this.number, h("div", { class: "critical-kinds", role: "group", "aria-labelledby": "record-heading" }, this.kinds), this.told);
  }

  tellPart(people) {
    const roles = [...new Set([...ALWAYS, ...people.map(({ role }) => role)])];
    const tell = (role) => button(`Told the ${(ROLE_WORDS[role] ?? "office").toLowerCase()} now`, () => {
      const person = people.find((one) => one.role === role);
      this.critical.notices.push({ whom: person?.name || ROLE_WORDS[role] || role, role, how: "call", told_at: now().toISOString() });
      this.drawNotices();
      this.later();
    }, "second big");
    return h("section", { class: "panel", "aria-labelledby": "told-heading" }, h("h2", { id: "told-heading" }, "Whom you told"),
      h("div", { class: "tellings" }, roles.map(tell)), this.notices);
  }

  more() {
    const words = textField({ name: "words", label: "What you see, in one line", value: this.critical.words === KIND_WORDS[this.critical.kind] ? "" : this.critical.words, most: 500, onValue: (text) => { this.critical.words = text.trim() || KIND_WORDS[this.critical.kind] || ""; this.later(); } });
    return h("section", { class: "panel", "aria-labelledby": "more-heading" }, h("h2", { id: "more-heading" }, "More, as soon as it is safe"), words,
      this.pictures, this.photoTold, choosers((files) => this.take(files), "of the critical finding"),
      h("p", { class: "hint" }, "What you add is saved at once and sent after the record itself. Traffic stays off until somebody with the authority says otherwise."),
      h("p", { class: "acts" }, h("a", { class: "button second big", href: "#/" }, "Back to the list")));
  }

  async take(files) {
    const sentences = await addPhotos(files, { work: this.work.identity, heard: () => this.drawPhotos() });
    fill(this.photoTold, sentences.map((sentence) => h("p", { class: "fault" }, sentence)));
    this.later();
  }

  async drawPhotos() {
    const photos = await photosOf(this.work.identity).catch(() => []);
    const made = await Promise.all(photos.map((photo, place) => thumbnailOf(photo.blob, `Photograph ${place + 1} of the critical finding`)));
    fill(this.pictures, made.map((one) => h("li", {}, one)));
  }

  drawNotices() {
    fill(this.notices, this.critical.notices.map((notice, place) => h("li", {}, h("span", {}, `✓ ${notice.whom}, ${clockWords(new Date(notice.told_at))} `),
      h("label", {}, h("span", { class: "visually-hidden" }, `How ${notice.whom} was told`), this.how(notice)),
      button("Take back", () => { this.critical.notices.splice(place, 1); this.drawNotices(); this.later(); }, "second"))));
  }

  how(notice) {
    const choice = h("select", { onchange: () => { notice.how = choice.value; this.later(); } }, HOW.map(([code, words]) => h("option", { value: code }, words)));
    choice.value = notice.how;
    return choice;
  }

  /** The second press: kept and on its way before everything else. */
  async record(kind) {
    if (!this.work.structure && !this.work.number) {
      this.say("Type the number of the structure first.");
      this.number.querySelector("input").focus();
      return;
    }
    if (!this.critical.words || this.critical.words === KIND_WORDS[this.critical.kind]) this.critical.words = KIND_WORDS[kind];
    this.critical.kind = kind;
    this.isRecorded = true;
    for (const one of this.kinds) one.setAttribute("aria-pressed", String(one.dataset.kind === kind));
    await this.keep();
    moveTo(this.told, { align: "center" });
  }

  /** What is added later goes out after a short rest; before the record is made it is kept here and not sent. */
  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.keep(), this.isRecorded ? SEND_AFTER_MS : KEEP_AFTER_MS);
  }

  async keep() {
    clearTimeout(this.timer);
    this.timer = null;
    this.work.state = this.isRecorded ? "ready" : "open";
    this.work.changed_at = now().toISOString();
    try {
      await saveWork(structuredClone(this.work));
    } catch {
      this.say("NOT SAVED on this device; trying again. Write it on paper and call.");
      this.timer = setTimeout(() => this.keep(), 2000);
      return;
    }
    if (!this.isRecorded) return;
    this.say(`✓ Recorded ${clockWords(now())} and kept on this device. It is sent before everything else, as soon as there is a signal. The calls do not wait for it.`);
    Promise.resolve(sendAll({ reason: "critical" })).catch(() => {});
  }

  say(words) { fill(this.told, h("p", {}, words)); }

  close() { return this.timer ? this.keep() : null; }
}
