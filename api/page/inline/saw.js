"use strict";
(() => {
  const sheets = [...document.querySelectorAll("section")];
  const nav = document.querySelector("nav");
  const [back, next] = nav.querySelectorAll("button");
  const key = document.body.dataset.key;
  const ticks = [...document.querySelectorAll("input[type=checkbox]")];
  const said = document.getElementById("kept");

  function read() {
    try { return JSON.parse(localStorage.getItem(key)) || {}; } catch { return {}; }
  }
  function keep(state) {
    try { localStorage.setItem(key, JSON.stringify(state)); } catch { said.textContent = "This browser keeps no ticks: don't close the page."; }
  }
  const state = read();
  for (const tick of ticks) {
    tick.checked = Boolean(state[tick.id]);
    tick.addEventListener("change", () => {
      if (tick.checked) state[tick.id] = 1; else delete state[tick.id];
      keep(state);
    });
  }
  let at = Math.min(Math.max(Number(state.at) || 0, 0), sheets.length - 1);
  function show(number) {
    at = number;
    sheets.forEach((sheet, place) => { sheet.hidden = place !== at; });
    back.disabled = at === 0;
    next.disabled = at === sheets.length - 1;
    state.at = at;
    keep(state);
    scrollTo(0, 0);
  }
  back.addEventListener("click", () => show(at - 1));
  next.addEventListener("click", () => show(at + 1));
  nav.hidden = sheets.length < 2;
  show(at);
})();
