// When to try again: 2 seconds, doubling to 5 minutes, spread by chance so that a county's devices do not come at once.

const FIRST_S = 2;
const LONGEST_S = 300;

export function makeBackoff(act, chance = Math.random) {
  let tries = 0;
  let timer = null;
  let until = 0;
  return {
    /** Wait longer than the last time; returns the seconds. */
    later() {
      const longest = Math.min(LONGEST_S, FIRST_S * 2 ** tries);
      const wait_s = Math.max(FIRST_S, longest * (0.5 + chance() / 2));
      tries += 1;
      until = Date.now() + wait_s * 1000;
      clearTimeout(timer);
      timer = setTimeout(() => { timer = null; act(); }, wait_s * 1000);
      return wait_s;
    },
    /** Forget the waits: signal is back, or somebody pressed. */
    reset() { tries = 0; until = 0; clearTimeout(timer); timer = null; },
    isWaiting() { return timer !== null; },
    seconds() { return timer === null ? 0 : Math.max(0, Math.round((until - Date.now()) / 1000)); },
  };
}
