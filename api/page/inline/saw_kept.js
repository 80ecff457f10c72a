// What stays on the device: ticks per cut, what is to be told to the service, what it answered.
const key = document.body.dataset.key;
const plain = { ticks: {}, queue: [], notes: [], labels: [], last: null, who: "", sheet: null };

function kept(name) {
  try {
    const text = localStorage.getItem(`${key}-${name}`);
    return text === null ? plain[name] : JSON.parse(text);
  } catch { return plain[name]; }
}

function keep(name, value) {
  try {
    localStorage.setItem(`${key}-${name}`, JSON.stringify(value));
    return true;
  } catch {
    document.getElementById("lost").hidden = false;
    return false;
  }
}

// Before a plan was taken in hand its ticks were kept under the plan's name alone: they are taken along.
(() => {
  try {
    const before = localStorage.getItem(key);
    if (before === null) return;
    const { at, ...ticks } = JSON.parse(before);
    keep("ticks", { ...ticks, ...kept("ticks") });
    localStorage.removeItem(key);
  } catch { /* what can't be read is no tick */ }
})();
