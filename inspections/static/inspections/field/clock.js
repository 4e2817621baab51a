// The time by the office's clock: a telephone's own may be wrong by a year.
import { setSetting, setting } from "./store.js";

const TOLD_ABOVE_S = 120;
let correction_s = 0;

/** Now, corrected by what the last contact with the office taught; a Date. */
export function now() { return new Date(Date.now() + correction_s * 1000); }

/** Seconds added to the device's own clock; 0 where nothing is known yet. */
export function correction() { return correction_s; }

/** The day in this place, as YYYY-MM-DD. */
export function today() {
  const at = now();
  return [at.getFullYear(), String(at.getMonth() + 1).padStart(2, "0"), String(at.getDate()).padStart(2, "0")].join("-");
}

/** Read the correction kept from an earlier visit. */
export async function recallClock() { correction_s = Number(await setting("clock_correction_s")) || 0; }

/** Learn from the office: `serverTime` as ISO text, `askedAt` and `answeredAt` by this device's clock in ms. */
export async function learnClock(serverTime, askedAt, answeredAt) {
  const server = Date.parse(serverTime);
  if (!Number.isFinite(server)) { return; }
  const off = (server - (askedAt + answeredAt) / 2) / 1000;
  correction_s = Math.abs(off) < 5 ? 0 : Math.round(off);
  await setSetting("clock_correction_s", correction_s);
}

/** A sentence where this device's clock is far off, otherwise "". */
export function clockWords() {
  if (Math.abs(correction_s) < TOLD_ABOVE_S) { return ""; }
  const size = Math.abs(correction_s);
  const words = size < 7200 ? `${Math.round(size / 60)} minutes` : size < 172800 ? `${Math.round(size / 3600)} hours` : `${Math.round(size / 86400)} days`;
  return `The clock of this device is ${words} ${correction_s > 0 ? "slow" : "fast"}. Times are corrected by the office's clock; please set it right.`;
}
