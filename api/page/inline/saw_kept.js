// What stays on the device: ticks per cut, what is to be told to the service, what it answered.
const key = document.body.dataset.key;
const plain = { ticks: {}, queue: [], notes: [], labels: [], last: null, who: "", sheet: null };
const held = {}; // where the browser keeps nothing, at least as long as the page is open

function kept(name) {
  try {
    const text = localStorage.getItem(`${key}-${name}`);
    if (text !== null) return JSON.parse(text);
  } catch { /* held has it */ }
  return name in held ? held[name] : plain[name];
}

function keep(name, value) {
  held[name] = value;
  try { localStorage.setItem(`${key}-${name}`, JSON.stringify(value)); } catch { document.getElementById("lost").hidden = false; }
}

function storedNames() {
  try { return Object.keys(localStorage); } catch { return []; }
}

// Ticks that an earlier edition of this page kept are taken along.
(() => {
  try {
    const before = localStorage.getItem(key);
    if (before === null) return;
    const { at, ...ticks } = JSON.parse(before);
    keep("ticks", { ...ticks, ...kept("ticks") });
    localStorage.removeItem(key);
  } catch { /* what can't be read is no tick */ }
})();
