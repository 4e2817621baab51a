// Where a photograph was taken, if the device says so: asked once, a refusal is kept, nothing waits for it.
import { setting, setSetting } from "../store.js";

const WAIT_MS = 10_000;
const FRESH_MS = 60_000;
let refused = null;

/** Whether the person has allowed it since, in the settings of the browser. */
async function isAllowedNow() {
  try {
    return (await navigator.permissions.query({ name: "geolocation" })).state === "granted";
  } catch {
    return false;
  }
}

/** {lon, lat} in degrees to five decimals (about 1 m), or null. */
export async function placeNow() {
  if (!navigator.geolocation) return null;
  refused ??= Boolean(await setting("place_refused"));
  if (refused && !(await isAllowedNow())) return null;
  return new Promise((give) => {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => give({ lon: Number(coords.longitude.toFixed(5)), lat: Number(coords.latitude.toFixed(5)) }),
      (problem) => {
        if (problem.code === 1) { refused = true; setSetting("place_refused", true).catch(() => {}); }
        give(null);
      },
      { enableHighAccuracy: true, timeout: WAIT_MS, maximumAge: FRESH_MS },
    );
  });
}
