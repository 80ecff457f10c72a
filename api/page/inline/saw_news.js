// What others did, and which revision is in force: asked for every few seconds while the page is looked at.
const EVERY = 5000;
let turning = false;
let turnAgain = false;

async function look() {
  const answer = await ask(`${location.pathname}/now?have=${sheet().dataset.version}`, { headers: { Accept: "text/html" } });
  if (!answer || answer.status !== 200) return;
  const text = await answer.text();
  take(text);
  if (sheet().dataset.work) keep("sheet", { version: Number(sheet().dataset.version), text });
}

function take(text) {
  const came = new DOMParser().parseFromString(text, "text/html").getElementById("sheet");
  if (!came) return;
  const was = sheet();
  const at = shown ? shown.dataset.layout : null;
  const held = document.activeElement ? document.activeElement.id : "";
  const earlier = was.dataset.mark;
  was.replaceWith(document.adoptNode(came));
  const revised = Boolean(earlier) && came.dataset.mark !== earlier;
  const revision = came.querySelector(".revision");
  if (revised && revision) note(revision.textContent, "revision");
  ticked();
  labelled();
  mark();
  show(layoutOf(at) || firstLeft() || layouts()[0], false);
  if (held && document.getElementById(held)) document.getElementById(held).focus({ preventScroll: true });
  if (revised) closeAll(); // what was asked there was asked about other layouts
}

function firstLeft() { return layouts().find((one) => Number(one.dataset.left) > 0) || null; }

// One turn: tell what waits, then look what there is. A call in the middle of a turn asks for another.
async function turnRound() {
  turnAgain = true;
  if (turning) return;
  turning = true;
  while (turnAgain) {
    turnAgain = false;
    await send();
    await look();
    mark();
  }
  turning = false;
}
