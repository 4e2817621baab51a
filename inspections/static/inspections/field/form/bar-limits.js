// What a reading of a bar cannot be, and where the jack must stop: as the office judges it in rules/gauge.
// A bar is not loaded above 0.70 of its strength (EM 7700-8 chapter 9, LRFD 9.9.5.6 [memory]).
import { grouped } from "./fields.js";

const LIMIT_RATIO = 0.7;

/** [{words, isGrave}] of the forces (lb) and pressures (psi) read on one bar. */
export function limitWords({ bar, forces, pressures, jack, method }) {
  const told = [];
  const most = Math.max(...forces, 0);
  const strength = bar.net_area_in2 && bar.tensile_psi ? bar.net_area_in2 * bar.tensile_psi : null;
  const highest = Math.max(...pressures, 0);
  if (jack?.gauge_most_psi && highest > jack.gauge_most_psi) {
    told.push({ words: `${grouped(highest)} psi is beyond the end of the gauge of ${jack.name} (${grouped(jack.gauge_most_psi)} psi): if it is the force, choose lb; otherwise read it again.` });
  }
  if (strength && most > strength) {
    told.push({ words: `${grouped(most)} lb is above what the bar can carry at all (${grouped(strength)} lb): read it again.` });
  } else if (strength && most > LIMIT_RATIO * strength) {
    told.push({ words: `${grouped(most)} lb is above the bar's limit of ${grouped(LIMIT_RATIO * strength)} lb (0.70 of its strength): stop jacking it and call the engineer.`, isGrave: true });
  }
  if (bar.is_usable === false && ["lift_off", "lock_off"].includes(method)) {
    told.push({ words: "This bar is set aside, and this method puts a jack on it: only the engineer releases it.", isGrave: true });
  }
  if (pressures.length && method === "load_cell") told.push({ words: "A load cell shows lb, not the pressure of a gauge: choose one of the two." });
  if (pressures.length && !jack) told.push({ words: "Choose the jack whose gauge showed the pressure: without it there is no force." });
  return told;
}
