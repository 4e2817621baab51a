// The visit: which day, who led, who came, in what weather.
import { now } from "../clock.js";
import { dateField, dayWords, h, localDay, numberField, part, selectField, textField } from "./fields.js";

/** What is wrong with a leader on a day, in words; "" where nothing is. */
export function leaderWords(leader, day) {
  if (!leader || !day) return "";
  if (leader.may_lead === false) return leader.words || `${leader.name} may not lead a team.`;
  if (leader.may_lead && !leader.qualified_until) return "";
  if (!leader.qualified_until) return `${leader.name}: no qualification as team leader is on record.`;
  return leader.qualified_until < day
    ? `${leader.name}'s qualification as team leader ended on ${dayWords(leader.qualified_until)}, before this day.`
    : "";
}

/** What is odd about the day of the visit; it asks and never blocks. */
export function dayQuestion(day, structure) {
  const today = localDay(now());
  if (!day) return "";
  if (day > today) return `${dayWords(day)} is still to come; today is ${dayWords(today)}.`;
  if (structure.year && Number(day.slice(0, 4)) < structure.year) return `The structure was built in ${structure.year}, after ${dayWords(day)}.`;
  if (day < localDay(new Date(now().getTime() - 60 * 864e5))) return `${dayWords(day)} is more than 60 days ago: is the year right?`;
  return "";
}

export function visitPart(sheet) {
  const { inspection, pack } = sheet;
  const asked = h("p", { class: "asked", hidden: true, role: "status" });
  const lapsed = h("p", { class: "asked", hidden: true, role: "status" });
  const tell = (place, words) => { place.hidden = !words; place.textContent = words; };
  const look = () => {
    tell(asked, dayQuestion(inspection.field_completed_on, pack.structure));
    const leader = (pack.leaders || []).find((person) => person.id === inspection.leader);
    tell(lapsed, leaderWords(leader, inspection.field_completed_on));
  };
  const set = (name) => (value) => {
    inspection[name] = value;
    look();
    sheet.changed("visit", name);
  };
  const leaders = pack.leaders || [];
  const leader = leaders.length
    ? selectField({
      name: "leader", label: "Team leader on site", value: inspection.leader, empty: "choose",
      choices: leaders.map((person) => [person.id, leaderWords(person, inspection.field_completed_on) ? `${person.name} ▲ lapsed` : person.name]),
      onValue: (value) => set("leader")(value === "" ? null : value),
    })
    : h("p", { class: "hint" }, "No team leader is in the pack: write the name under Team.");
  const section = part("visit", "Visit",
    dateField({ name: "field_completed_on", label: "Day of the field work", value: inspection.field_completed_on, need: true, onValue: (day) => set("field_completed_on")(day || null) }),
    asked, leader, lapsed,
    textField({ name: "team", label: "Team", value: inspection.team, most: 160, onValue: set("team") }),
    weather(sheet, set("weather")),
    numberField({
      name: "air_temp_f", label: "Air temperature", unit: "°F", value: inspection.air_temp_f, typed: sheet.typed["visit.air_temp_f"], step: 5,
      onValue: (number, text) => { sheet.keepTyped("visit.air_temp_f", text); set("air_temp_f")(number); },
    }));
  look();
  return section;
}

const SKIES = ["Dry", "Cloudy", "Rain", "Frost", "Snow", "Wind"];

function weather(sheet, keep) {
  const field = textField({ name: "weather", label: "Weather", value: sheet.inspection.weather, most: 120, onValue: keep });
  const add = (word) => {
    const words = [sheet.inspection.weather.trim(), word.toLowerCase()].filter(Boolean).join(", ");
    const text = words[0].toUpperCase() + words.slice(1);
    field.set(text);
    keep(text);
  };
  return h("div", {}, field, h("div", { class: "chips", role: "group", "aria-label": "Add to the weather" },
    SKIES.map((word) => h("button", { type: "button", class: "second chip", onclick: () => add(word) }, word))));
}

/** Notes of the whole visit, with short words one can add by one press. */
const QUICK = ["Debris on the deck", "Debris against the upstream face", "Water standing on the deck", "Brush in the way", "Not reached: water too high", "Traffic kept off while inspecting"];

export function notesPart(sheet) {
  const field = textField({
    name: "notes", label: "Notes on the whole", value: sheet.inspection.notes, rows: 5, most: 8000,
    onValue: (words) => { sheet.inspection.notes = words; sheet.changed("notes"); },
  });
  const add = (words) => {
    const kept = sheet.inspection.notes.trimEnd();
    sheet.inspection.notes = `${kept ? `${kept}\n` : ""}${words}.`.slice(0, 8000);
    field.set(sheet.inspection.notes);
    sheet.changed("notes");
    sheet.say(`Added to the notes: ${words}.`);
  };
  return part("notes", "Notes", field,
    h("div", { class: "chips", role: "group", "aria-label": "Quick notes" },
      QUICK.map((words) => h("button", { type: "button", class: "second chip", onclick: () => add(words) }, words))));
}

/** Heading of the sheet: which structure, which visit, and the way to a critical finding. */
export function headOf(sheet, kindWords) {
  const { structure } = sheet.pack;
  const title = structure.title || [structure.road, structure.crosses].filter(Boolean).join(" over ");
  return h("header", { class: "form-head" },
    h("h1", { id: "form-title" }, `${sheet.work.number || structure.number} `, h("span", {}, `${kindWords} inspection`)),
    title ? h("p", { class: "form-title-line" }, title) : null,
    sheet.pack.isBare ? h("p", { class: "asked" }, "The pack of this structure is not on this device: last time's findings, drawings and bars cannot be shown. What you enter is kept.") : null,
    sheet.pack.posting?.words ? h("p", { class: "quiet" }, `In force: ${sheet.pack.posting.words}`) : null,
    h("a", { class: "button grave big-way", href: `#/critical/${structure.id ?? ""}` }, "▲ Critical finding: call now"));
}
