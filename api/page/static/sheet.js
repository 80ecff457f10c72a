// What the sheet does by itself: everything here is a comfort, the form works without it.
"use strict";

// A text that grows with its lines, where the browser doesn't do that by itself.
function grow(area) {
  area.rows = Math.max(4, area.value.split("\n").length + 1);
}

document.addEventListener("input", (event) => {
  if (event.target.tagName === "TEXTAREA") grow(event.target);
});

// Another kind of saw: its usual kerf becomes the blank's suggestion, and goes before an earlier one.
document.addEventListener("change", (event) => {
  if (event.target.id !== "saw" && event.target.id !== "unit") return;
  const saw = document.getElementById("saw");
  const kerf = document.getElementById("kerf");
  const chosen = saw.selectedOptions[0];
  const unit = document.getElementById("unit").value;
  kerf.placeholder = ["mm", "cm", "m"].includes(unit) ? chosen.dataset.metric : chosen.dataset.inch;
  if (event.target.id === "saw") kerf.value = "";
});

// A file dropped on a list is taken as if it had been chosen there.
function listOf(target) {
  return target instanceof Element ? target.closest(".written") : null;
}

document.addEventListener("dragover", (event) => {
  const list = listOf(event.target);
  if (!list || !event.dataTransfer.types.includes("Files")) return;
  event.preventDefault();
  list.classList.add("dropping");
});

document.addEventListener("dragleave", (event) => {
  const list = listOf(event.target);
  if (list) list.classList.remove("dropping");
});

document.addEventListener("drop", (event) => {
  const list = listOf(event.target);
  if (!list || !event.dataTransfer.files.length) return;
  event.preventDefault();
  list.classList.remove("dropping");
  const input = document.getElementById(`${list.dataset.field}_file`);
  input.files = event.dataTransfer.files;
  input.dispatchEvent(new Event("change", { bubbles: true }));
});

// A word of a list that is tapped, or that the caret comes to, says what it was taken for.
function sayTaken(area) {
  const list = area.closest(".written");
  const said = list && list.querySelector(".taken");
  if (!said) return;
  const before = area.value.slice(0, area.selectionStart);
  const line = before.split("\n").length;
  const at = before.length - (before.lastIndexOf("\n") + 1);
  const text = area.value.split("\n")[line - 1];
  const pieces = [...list.querySelectorAll(`.words i[data-line="${line}"]`)];
  const piece = pieces.find((one) => Number(one.dataset.start) <= at && at <= Number(one.dataset.end));
  said.textContent = piece ? `${text.slice(Number(piece.dataset.start), Number(piece.dataset.end))}: ${piece.textContent}` : "";
}

for (const kind of ["click", "keyup"]) {
  document.addEventListener(kind, (event) => {
    if (event.target.tagName === "TEXTAREA" && event.target.selectionStart === event.target.selectionEnd) sayTaken(event.target);
  });
}

// Once a file has been read, its lines stand in the field: the file is not to be read again with the next change.
document.addEventListener("htmx:beforeRequest", (event) => {
  if (event.target.id !== "sheet") return;
  for (const input of event.target.querySelectorAll("input[type=file]")) input.value = "";
});

// What was asked for an answer that is gone from the page comes too late to be shown.
document.addEventListener("htmx:beforeSwap", (event) => {
  if (!document.contains(event.detail.requestConfig.elt)) event.detail.shouldSwap = false;
});
