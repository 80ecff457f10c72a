// What others did, and which revision is in force: asked for every few seconds while the page is looked at.
const EVERY = 5000;
const LOCKED = "The shop's password is wanted: open this page anew. What you ticked stays here.";
let turning = null;
let turnAgain = false;

async function look() {
  const answer = await ask(`${location.pathname}/now?have=${sheet().dataset.version}`, { headers: { Accept: "text/html" } });
  if (!answer) return;
  if (answer.type === "opaqueredirect" || answer.status === 401) door = LOCKED;
  if (answer.status !== 200) return;
  const text = await answer.text();
  take(text);
  keep("sheet", sheet().dataset.work ? { version: Number(sheet().dataset.version), text } : null);
}

function take(text) {
  const came = new DOMParser().parseFromString(text, "text/html").getElementById("sheet");
  if (!came) return;
  const earlier = sheet().dataset.mark;
  const at = shown ? shown.dataset.layout : null;
  const focus = document.activeElement ? document.activeElement.id : "";
  sheet().replaceWith(document.adoptNode(came));
  const revised = Boolean(earlier) && came.dataset.mark !== earlier;
  if (revised) revisedTo(came.querySelector(".revision"));
  begun();
  ticked();
  labelled();
  mark();
  show(layoutOf(at) || firstLeft() || layouts()[0], false);
  if (focus && document.getElementById(focus)) document.getElementById(focus).focus({ preventScroll: true });
}

// What was being asked was asked about other layouts.
function revisedTo(revision) {
  if (revision) note(revision.textContent, "revision");
  closeAll();
}

// Sticks ticked while the plan wasn't in hand were ticked for this device alone: said, and left to who knows.
function begun() {
  const ticks = kept("ticks");
  const sticks = Object.keys(ticks).filter((id) => id.startsWith("s-"));
  if (!sheet().dataset.work || !sticks.length) return;
  const named = sticks.map((id) => id.split("-")).map(([, layout, stick]) => `stick ${stick} of layout ${layout}`);
  note(`Ticked on this device before the plan was taken in hand: ${named.join(", ")}. Tick it below where it is sawn.`, "begun");
  for (const id of sticks) delete ticks[id];
  keep("ticks", ticks);
}

function firstLeft() { return layouts().find((one) => Number(one.dataset.left) > 0) || null; }

// One turn: tell what waits, then look what there is. A call in the middle of a turn asks for another.
function turnRound() {
  turnAgain = true;
  turning = turning || round().finally(() => { turning = null; });
  return turning;
}

async function round() {
  while (turnAgain) {
    turnAgain = false;
    door = "";
    await send();
    await look();
    mark();
  }
}
