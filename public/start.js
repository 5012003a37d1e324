// Starts the app, and, in a worker, the planner: the same program finds out where it runs.
import init from "./rackweek.js";

const inPage = typeof document !== "undefined";

if (inPage) {
  try {
    // Before anything is drawn, so that the chosen look does not flash in late.
    const theme = JSON.parse(localStorage.getItem("rackweek.theme"));
    if (theme === "light" || theme === "dark") document.documentElement.dataset.theme = theme;
  } catch {
    // No storage, no choice.
  }
  import("./offline.js");
}

init({ module_or_path: new URL("./rackweek_bg.wasm", import.meta.url) }).catch((error) => {
  // In a worker there is no page to say it on; the page hears the error event instead.
  if (!inPage) throw error;
  document.dispatchEvent(new CustomEvent("rackweek-broken", { detail: String(error) }));
});
