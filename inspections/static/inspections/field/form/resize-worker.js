// Makes photographs smaller off the main path, so that typing goes on while it works.
import { smaller } from "./resize.js";

addEventListener("message", async ({ data: { number, file } }) => {
  try {
    postMessage({ number, ...(await smaller(file)) });
  } catch (problem) {
    postMessage({ number, problem: String(problem?.message || problem) });
  }
});
