// One layout at a time, and the ticks per cut.
const nav = document.getElementById("turn");
const [back, next] = nav.querySelectorAll("button");
const place = document.getElementById("place");
let shown = null;

function sheet() { return document.getElementById("sheet"); }
function layouts() { return [...sheet().querySelectorAll("section")]; }
function layoutOf(number) { return layouts().find((one) => one.dataset.layout === number) || null; }

// A layout that was replaced is only seen by whoever had it before them.
function turnable() { return layouts().filter((one) => !one.dataset.gone || one === shown); }

function show(layout, top = true) {
  shown = layout || null;
  for (const one of layouts()) one.hidden = one !== shown;
  const all = turnable();
  const at = all.indexOf(shown);
  back.disabled = at <= 0;
  next.disabled = at < 0 || at === all.length - 1;
  nav.hidden = all.length < 2;
  place.textContent = [sheet().dataset.mark, shown ? `layout ${shown.dataset.layout}` : ""].filter(Boolean).join(" · ");
  if (!shown) return;
  keep("ticks", { ...kept("ticks"), at: shown.dataset.layout });
  if (top) scrollTo(0, 0);
}

function turn(by) {
  const all = turnable();
  show(all[all.indexOf(shown) + by]);
}

function ticked() {
  const ticks = kept("ticks");
  for (const box of sheet().querySelectorAll("input.cut")) box.checked = Boolean(ticks[box.id]);
}

function forgetCuts(number) {
  const ticks = kept("ticks");
  for (const id of Object.keys(ticks)) if (id.startsWith(`t-${number}-`)) delete ticks[id];
  keep("ticks", ticks);
  ticked();
}

document.addEventListener("change", (event) => {
  const box = event.target;
  if (!box.classList.contains("cut")) return;
  const ticks = kept("ticks");
  if (box.checked) ticks[box.id] = 1; else delete ticks[box.id];
  keep("ticks", ticks);
});
back.addEventListener("click", () => turn(-1));
next.addEventListener("click", () => turn(1));
