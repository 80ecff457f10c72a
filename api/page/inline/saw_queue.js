// What happened at the saw goes to the service in order, each event under a key of its own: told twice it counts once.
const MOST = 100;
const PATIENCE = 20000;
const net = document.getElementById("net");
let sending = [];
let reached = true;
let unheard = false; // the last telling got no answer
let door = "";

// Not crypto.randomUUID: a phone on the shop's network has no secure context.
function newKey() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

function workUrl(rest = "") { return `/v1/works/${sheet().dataset.work}${rest}`; }

async function ask(url, options = {}, patience = PATIENCE) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), patience);
  try {
    const answer = await fetch(url, { ...options, signal: stop.signal, redirect: "manual", headers: { "Content-Type": "application/json", ...options.headers } });
    reached = true;
    return answer;
  } catch {
    reached = false;
    return null;
  } finally { clearTimeout(timer); }
}

function post(url, body, patience, headers = {}) {
  return ask(url, { method: "POST", body: JSON.stringify({ who: kept("who"), ...body }), headers }, patience);
}

function tell(event, said) {
  keep("queue", [...kept("queue"), { ...event, key: newKey(), said }]);
  mark();
  turnRound();
}

function takeOut(keys) {
  keep("queue", kept("queue").filter((event) => !keys.includes(event.key)));
}

async function send() {
  const queue = kept("queue").slice(0, MOST);
  if (!queue.length || !sheet().dataset.work) return;
  sending = queue.map((event) => event.key);
  const answer = await post(workUrl("/events"), { events: queue.map(({ said, ...event }) => event) });
  sending = [];
  unheard = !answer;
  if (!answer) return;
  if (answer.status === 200) {
    const { answers } = await answer.json();
    for (const one of answers) answered(one, queue.find((event) => event.key === one.key));
    takeOut(answers.map((one) => one.key));
    turnAgain = turnAgain || kept("queue").length > 0;
  } else {
    door = await refused(answer);
  }
}

// What a problem says, everything that is wrong with it at once.
function why(problem, status) {
  const faults = (problem.errors || []).map((fault) => fault.detail);
  return faults.length ? faults.join(" ") : problem.detail || `the service answers ${status}`;
}

async function refused(answer) {
  if (answer.status === 401) return LOCKED;
  if (answer.status === 429 || answer.status >= 500) return "The service is busy; it is tried again.";
  const problem = await answer.json().catch(() => ({}));
  return `The service doesn't take it: ${why(problem, answer.status)} What you ticked stays here.`;
}

function answered(answer, event) {
  if (!event) return;
  if (answer.done) {
    const undone = event.kind === "undo";
    keep("last", undone ? null : { entry: answer.entry, words: answer.words });
    if (answer.bars.length) keep("labels", [...kept("labels"), { slot: event.slot, bars: answer.bars }]);
    if (event.kind !== "tick") note(answer.words, "done");
  } else {
    note(`Not taken (${event.said}): ${answer.problem ? why(answer.problem) : answer.words}`, "refused");
  }
}

// The boxes as they are with what waits, and the line that says so.
function mark() {
  const queue = kept("queue");
  const waiting = new Set(queue.filter((event) => event.kind === "tick").map((event) => String(event.slot)));
  for (const row of sheet().querySelectorAll("li[data-slot]")) {
    const waits = waiting.has(row.dataset.slot);
    row.classList.toggle("waits", waits);
    row.querySelector("input").checked = waits || row.dataset.state === "sawn";
    row.querySelector(".waiting").textContent = waits ? `Ticked here; the service doesn't know yet.${row.dataset.keep ? " The number for the drop comes with the network." : ""}` : "";
  }
  document.getElementById("whose").hidden = !sheet().dataset.work;
  net.textContent = door || words(queue);
  net.hidden = !net.textContent;
  told();
}

function words(queue) {
  const ticks = queue.filter((event) => event.kind === "tick").length;
  const others = queue.length - ticks;
  const named = [ticks && `${ticks} tick${ticks > 1 ? "s" : ""}`, others && `${others} message${others > 1 ? "s" : ""}`].filter(Boolean);
  if (!named.length) return reached ? "" : sheet().dataset.work ? "No network: what you tick waits here." : "";
  if (reached && !unheard) return ""; // on its way
  return `${named.join(" and ")} ${queue.length > 1 ? "wait" : "waits"} for the network.`;
}
