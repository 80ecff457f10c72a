// What the service answered stands here until somebody has read it; the last thing done here can be taken back.
const notes = document.getElementById("notes");
const undo = document.getElementById("undo");

function note(text, kind) {
  keep("notes", [...kept("notes"), { id: newKey(), text, kind }]);
}

// The drop's number and length come with the sheet that shows the stick as sawn.
function labelled() {
  const waiting = kept("labels");
  const found = waiting.filter((one) => {
    const row = sheet().querySelector(`li[data-slot="${one.slot}"]`);
    return row && one.bars.includes(row.dataset.drop);
  });
  if (!found.length) return;
  keep("labels", waiting.filter((one) => !found.includes(one)));
  for (const one of found) {
    const row = sheet().querySelector(`li[data-slot="${one.slot}"]`);
    note(`Write ${row.dataset.drop} on ${row.dataset.state === "sawn" ? "the drop" : "what is left"}, ${row.dataset.dropLength}`, "label");
  }
}

function told() {
  notes.replaceChildren(...kept("notes").map((one) => {
    const item = document.createElement("li");
    item.className = one.kind;
    const words = document.createElement("p");
    words.textContent = one.text;
    const read = document.createElement("button");
    read.type = "button";
    read.dataset.note = one.id;
    read.textContent = "OK";
    item.append(words, read);
    return item;
  }));
  notes.hidden = !notes.children.length;
  const last = kept("last");
  undo.hidden = !last || sheet().dataset.state !== "open";
  if (last) undo.querySelector("p").textContent = `Last from here: ${last.words}`;
}

notes.addEventListener("click", (event) => {
  const id = event.target.dataset.note;
  if (!id) return;
  keep("notes", kept("notes").filter((one) => one.id !== id));
  told();
});

undo.querySelector("button").addEventListener("click", () => {
  const last = kept("last");
  if (!last) return;
  keep("last", null);
  tell({ kind: "undo", entry: last.entry }, `take back: ${last.words}`);
});

document.addEventListener("change", (event) => {
  const box = event.target;
  if (!box.classList.contains("stick")) return;
  const row = box.closest("li");
  const layout = row.closest("section").dataset.layout;
  const said = `layout ${layout}, stick ${row.dataset.copy} (${row.dataset.bar}) is sawn`;
  if (box.checked) {
    forgetCuts(layout);
    tell({ kind: "tick", slot: Number(row.dataset.slot) }, said);
    return;
  }
  const waiting = kept("queue").find((one) => one.kind === "tick" && String(one.slot) === row.dataset.slot);
  if (waiting && !sending.includes(waiting.key)) takeOut([waiting.key]);
  mark();
});
