// Every change is on its way to the device's store at most 400 ms after it was made; typing never waits for it.
import { saveWork } from "../store.js";
import { now } from "../clock.js";

const WAIT_MS = 400;
const TRY_AGAIN_MS = [1000, 2000, 5000, 10000];

export class Autosave {
  /** `tell({state: "saved"|"saving"|"failed", at, words})` hears how it stands; `signal` ends the listening. */
  constructor(work, tell, signal) {
    this.work = work;
    this.tell = tell;
    this.timer = null;
    this.running = null;
    this.isDirty = false;
    this.failures = 0;
    const flush = () => { if (this.isDirty) this.flush(); };
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") flush(); }, { signal });
    addEventListener("pagehide", flush, { signal });
    addEventListener("blur", flush, { signal });
    // A newer window wants the store: what is typed here goes in first.
    document.addEventListener("field:save-now", (event) => event.detail?.wait?.(this.flush()), { signal });
  }

  touch() {
    this.work.changed_at = now().toISOString();
    this.isDirty = true;
    if (this.failures === 0) this.tell({ state: "saving" });
    this.timer ??= setTimeout(() => this.flush(), WAIT_MS);
  }

  /** Resolves true once everything typed until now is durable, false where the store refused it. */
  async flush() {
    clearTimeout(this.timer);
    this.timer = null;
    if (this.running) {
      await this.running;
      if (!this.isDirty) return this.failures === 0;
      if (this.running) return this.flush();
    }
    if (!this.isDirty) return this.failures === 0;
    this.isDirty = false;
    this.running = this.write();
    return this.running;
  }

  async write() {
    try {
      await saveWork(structuredClone(this.work));
      this.failures = 0;
      this.running = null;
      this.tell({ state: this.isDirty ? "saving" : "saved", at: now() });
      return true;
    } catch (problem) {
      this.isDirty = true;
      this.running = null;
      const wait = TRY_AGAIN_MS[Math.min(this.failures++, TRY_AGAIN_MS.length - 1)];
      this.timer ??= setTimeout(() => this.flush(), wait);
      const full = problem?.kind === "full" || problem?.name === "QuotaExceededError";
      this.tell({
        state: "failed",
        words: full
          ? "NOT SAVED: this device has no room left. Free some (old photos, other apps). Trying again by itself. Keep this page open."
          : "NOT SAVED on this device. Trying again by itself. Keep this page open and write grave things on paper.",
      });
      return false;
    }
  }
}
