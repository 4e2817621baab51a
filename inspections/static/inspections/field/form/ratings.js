// Component ratings: last time beside the new one, the words of the codes, and why.
import { button, choiceField, dayWords, fill, h, part, textField } from "./fields.js";
import { WORDS } from "./words.js";

export const COMPONENTS = [
  ["deck", "Deck"], ["superstructure", "Superstructure"], ["substructure", "Substructure"], ["channel", "Channel"], ["culvert", "Culvert"],
];
const FURTHER = [["scour", "Scour condition"], ["protection", "Channel protection"], ["underwater", "Underwater condition"]];
const MEANS = Object.fromEntries(WORDS.component_codes.map(([code, word, means]) => [code, { word, means }]));
const JUMP = 2;

export const codeWords = (code) => (code ? `${code} ${MEANS[code]?.word ?? ""}: ${MEANS[code]?.means ?? ""}` : "not rated yet");

export function ratingsPart(sheet) {
  const made = (rows) => rows.map(([code, label]) => component(sheet, code, label));
  const isFurther = FURTHER.some(([code]) => sheet.inspection[`${code}_rating`] || sheet.pack.ratings?.[code]?.rating);
  return part("ratings", "Component ratings", made(COMPONENTS),
    h("details", { open: isFurther }, h("summary", {}, "Scour, channel protection, under water"), made(FURTHER)),
    h("details", {}, h("summary", {}, "What the codes mean"), h("dl", { class: "codes" },
      WORDS.component_codes.map(([code, word, means]) => h("div", {}, h("dt", {}, `${code} ${word}`), h("dd", {}, means))))));
}

function component(sheet, code, label) {
  const column = `${code}_rating`;
  const last = sheet.pack.ratings?.[code];
  const now = h("p", { class: "rating-words", role: "status" });
  const asked = h("div", {});
  const look = () => {
    const rating = sheet.inspection[column];
    now.textContent = codeWords(rating);
    const jump = last?.rating && /^\d$/.test(last.rating) && /^\d$/.test(rating) ? Number(rating) - Number(last.rating) : 0;
    const words = jump >= JUMP ? `${label} was ${last.rating} last time and is ${rating} now: was something repaired? Say why.` : jump <= -JUMP ? `${label} fell from ${last.rating} to ${rating}: say why.` : "";
    fill(asked, words && !sheet.inspection.rating_reasons[code] ? h("p", { class: "asked" }, words) : null,
      /^[0-2]$/.test(rating) && code !== "protection" ? h("p", { class: "caution" }, "A rating of 2 or less is a critical finding: call before you go on. ", h("a", { href: `#/critical/${sheet.pack.structure.id ?? ""}` }, "Whom to call")) : null);
  };
  const set = (rating) => {
    sheet.inspection[column] = rating;
    look();
    sheet.changed("rating", code);
  };
  const picks = choiceField({
    name: column, label, tight: true, value: sheet.inspection[column], onValue: set,
    choices: WORDS.component_codes.map(([rating, word]) => [rating, rating, word]),
  });
  const same = last?.rating ? button(`As last time: ${last.rating}`, () => { picks.set(last.rating); set(last.rating); }, "second") : null;
  look();
  return h("div", { class: "component", id: `rating-${code}` }, picks, now,
    h("p", { class: "last" }, last?.rating ? `Last time ${codeWords(last.rating).split(":")[0]}, ${dayWords(last.on)}. ` : "Not rated before. ", same),
    textField({
      name: `${code}_reason`, label: `Why (${label.toLowerCase()})`, value: sheet.inspection.rating_reasons[code] ?? "", most: 300,
      onValue: (words) => {
        if (words.trim()) sheet.inspection.rating_reasons[code] = words;
        else delete sheet.inspection.rating_reasons[code];
        look();
        sheet.changed("reason", code);
      },
    }), asked);
}
