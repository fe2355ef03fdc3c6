// A plain script, run before the first paint, so that a dark page does not flash white.
try {
  document.documentElement.dataset.look = localStorage.getItem("courtwright:look") || "system";
} catch {
  document.documentElement.dataset.look = "system";
}
