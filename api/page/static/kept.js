// What is typed is kept on this device until the service has it: a page that is reloaded before an answer came, or
// while there is no network, gets it back.
"use strict";
(() => {
  const sheet = document.getElementById("sheet");
  if (!sheet) return;
  const PREFIX = "unsent ";
  const place = () => PREFIX + location.pathname;

  function written() {
    const values = {};
    for (const one of sheet.elements) {
      if (!one.name || one.type === "file" || one.type === "hidden" || one.tagName === "BUTTON") continue;
      if (/^(fix|was)-/.test(one.name)) continue;
      values[one.name] = one.type === "checkbox" ? one.checked : one.value;
    }
    return JSON.stringify(values);
  }

  function store(change) {
    try { change(window.localStorage); } catch { /* a browser that keeps nothing: the service still does */ }
  }

  function keep() {
    store((storage) => storage.setItem(place(), written()));
  }

  sheet.addEventListener("input", keep);
  sheet.addEventListener("change", keep);

  // Taken by the service, unless more was typed since it was asked: then that is kept under the new address.
  document.addEventListener("htmx:beforeRequest", (event) => {
    if (event.target.id === "sheet") event.detail.requestConfig.kept = { place: place(), text: written() };
  });
  document.addEventListener("htmx:afterOnLoad", (event) => {
    const kept = event.detail.requestConfig.kept;
    if (!kept || event.detail.xhr.status >= 400) return;
    store((storage) => storage.removeItem(kept.place));
    if (written() !== kept.text) keep();
  });

  function bringBack(values) {
    for (const [name, value] of Object.entries(values)) {
      const one = sheet.elements.namedItem(name);
      if (!(one instanceof HTMLElement)) continue;
      if (one.type === "checkbox") one.checked = value; else one.value = value;
      if (one.tagName === "TEXTAREA") one.rows = Math.max(4, one.value.split("\n").length + 1);
    }
  }

  store((storage) => {
    const unsent = storage.getItem(place());
    if (unsent === null || unsent === written()) return;
    bringBack(JSON.parse(unsent));
    const told = document.createElement("p");
    told.className = "told";
    told.setAttribute("role", "status");
    told.textContent = "What you typed here last had not reached the service; it is back.";
    sheet.prepend(told);
    document.addEventListener("DOMContentLoaded", () => htmx.trigger(sheet, "offer"));
  });
})();
