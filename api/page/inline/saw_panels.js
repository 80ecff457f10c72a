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
  if (panel.id === "spoilt") fillPieces(panel);
  return true;
}

// On a stick that is sawn only what is still good can turn out to be spoilt; on one that isn't, what comes next.
function fillPieces(panel) {
  const row = shown.querySelector(`li[data-slot="${new FormData(panel).get("slot")}"]`);
  const sawn = row.dataset.state === "sawn";
  const good = row.dataset.made.split(" ");
  const pieces = [...shown.querySelectorAll("[data-position]")].filter((piece) => sawn ? good.includes(piece.dataset.position) : Number(piece.dataset.position) > Number(row.dataset.sawn));
  panel.querySelector(".part").replaceChildren(...pieces.map((piece) => choice("position", piece.dataset.position, piece.dataset.words, false)));
  panel.querySelector(".left").hidden = sawn;
}

const SAY = {
  short: (data) => [{ kind: "short", slot: Number(data.get("slot")), length: data.get("length").trim() }, `stick measures ${data.get("length").trim()}`],
  spoilt: (data) => {
    const left = data.get("left").trim();
    return [{ kind: "spoilt", slot: Number(data.get("slot")), position: Number(data.get("position")), ...(left && { left }) }, `part ${data.get("position")} is spoilt`];
  },
  blade: (data) => [{ kind: "blade", kerf: data.get("kerf").trim() }, `the blade takes ${data.get("kerf").trim()}`],
};

document.addEventListener("click", (event) => {
  const name = event.target.dataset ? event.target.dataset.open : undefined;
  if (name) open(name);
  if (event.target.classList.contains("back")) closeAll();
});
document.addEventListener("change", (event) => {
  if (event.target.name === "slot" && event.target.closest("#spoilt")) fillPieces(event.target.closest("#spoilt"));
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
