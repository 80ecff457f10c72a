// What else can be told at the saw: a few large blanks below the layout, and a yes.
const panels = [...document.querySelectorAll("form.panel")];

function closeAll() {
  for (const panel of panels) panel.hidden = true;
  document.body.classList.remove("asking");
}

function open(name) {
  const panel = document.getElementById(name);
  closeAll();
  panel.reset();
  for (const unit of panel.querySelectorAll(".unit")) unit.textContent = sheet().dataset.unit;
  const ready = { short: fillSticks, spoilt: fillSticks, blade: () => true, replan: askReplan, finish: () => true }[name];
  if (!ready(panel)) return;
  panel.hidden = false;
  document.body.classList.add("asking");
  panel.scrollIntoView({ block: "start" });
  (panel.querySelector("input:not([type=radio])") || panel.querySelector("button")).focus({ preventScroll: true });
}

function choice(name, value, text, checked) {
  const label = document.createElement("label");
  const radio = document.createElement("input");
  Object.assign(radio, { type: "radio", name, value, required: true, checked });
  const words = document.createElement("span");
  words.textContent = text;
  label.append(radio, words);
  return label;
}

function fillSticks(panel) {
  if (!shown) return false;
  const rows = [...shown.querySelectorAll("li[data-slot]")].filter((row) => panel.id === "spoilt" ? ["open", "sawn"].includes(row.dataset.state) : row.dataset.state === "open");
  if (!rows.length) return false;
  const first = rows.find((row) => row.dataset.state === "open") || rows[rows.length - 1];
  panel.querySelector(".which").replaceChildren(...rows.map((row) => choice("slot", row.dataset.slot, `${row.dataset.bar}, stick ${row.dataset.copy}${row.dataset.state === "sawn" ? ", sawn" : ""}`, row === first)));
  chosen(panel);
  return true;
}

function chosen(panel) {
  const row = shown.querySelector(`li[data-slot="${new FormData(panel).get("slot")}"]`);
  if (panel.id === "spoilt") fillPieces(panel, row);
  else panel.querySelector(".begun").textContent = Number(row.dataset.sawn) ? "What is left of it measures" : "It measures, its raw ends included";
}

// On a stick that is sawn only what is still good can turn out to be spoilt; on one that isn't, what comes next.
function fillPieces(panel, row) {
  const sawn = row.dataset.state === "sawn";
  const good = row.dataset.made.split(" ");
  const pieces = [...shown.querySelectorAll("[data-position]")].filter((piece) => sawn ? good.includes(piece.dataset.position) : Number(piece.dataset.position) > Number(row.dataset.sawn));
  panel.querySelector(".part").replaceChildren(...pieces.map((piece) => choice("position", piece.dataset.position, piece.dataset.words, false)));
  panel.querySelector(".left").hidden = sawn;
}

function named(data) {
  const row = sheet().querySelector(`li[data-slot="${data.get("slot")}"]`);
  return `${row.dataset.bar} on layout ${row.closest("section").dataset.layout}`;
}

const SAY = {
  short: (data) => {
    const length = data.get("length").trim();
    return [{ kind: "short", slot: Number(data.get("slot")), length }, `${named(data)} measures ${length}`];
  },
  spoilt: (data) => {
    const left = data.get("left").trim();
    const position = Number(data.get("position"));
    return [{ kind: "spoilt", slot: Number(data.get("slot")), position, ...(left && { left }) }, `part ${position} of ${named(data)} is spoilt`];
  },
  blade: (data) => [{ kind: "blade", kerf: data.get("kerf").trim() }, `the blade takes ${data.get("kerf").trim()}`],
};

document.addEventListener("click", (event) => {
  const name = event.target.dataset ? event.target.dataset.open : undefined;
  if (name) open(name);
  if (event.target.classList.contains("back")) closeAll();
});
document.addEventListener("change", (event) => {
  if (event.target.name === "slot") chosen(event.target.form);
  if (event.target.id === "who") keep("who", event.target.value.trim());
});
for (const name of Object.keys(SAY)) {
  document.getElementById(name).addEventListener("submit", (event) => {
    event.preventDefault();
    const [told, said] = SAY[name](new FormData(event.target));
    closeAll();
    tell(told, said);
  });
}
document.getElementById("who").value = kept("who");
