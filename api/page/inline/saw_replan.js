// The rest planned anew, shown where it is needed: what changes, what it costs, what is proven; one step to take it.
const SOLVE_PATIENCE = 180000;
let proposal = null;

function lines(box, texts) {
  box.replaceChildren(...texts.map((text) => {
    const line = document.createElement("p");
    line.textContent = text;
    return line;
  }));
}

function askReplan(panel) {
  const box = panel.querySelector(".proposal");
  const take = panel.querySelector("[type=submit]");
  proposal = null;
  take.hidden = true;
  if (kept("queue").length) {
    lines(box, ["What was told here has to reach the service first. Plan anew when the network is there."]);
    turnRound();
    return true;
  }
  lines(box, ["Planning the rest anew ..."]);
  plan(box, take);
  return true;
}

async function plan(box, take) {
  const answer = await post(workUrl("/replans"), {}, SOLVE_PATIENCE);
  if (!answer) return lines(box, ["There is no network: nothing was planned. Try again when there is."]);
  const came = await answer.json().catch(() => ({}));
  if (!answer.ok) return lines(box, [came.detail || `It can't be planned now (${answer.status}).`]);
  lines(box, [came.headline, ...came.words].filter(Boolean));
  proposal = came;
  take.hidden = !came.possible;
}

async function accept(panel) {
  const box = panel.querySelector(".proposal");
  const take = panel.querySelector("[type=submit]");
  take.hidden = true;
  const answer = await post(workUrl(`/replans/${proposal.id}/accept`), {}, SOLVE_PATIENCE);
  if (!answer) {
    take.hidden = false;
    return lines(box, ["There is no network: nothing was changed yet. Try again."]);
  }
  if (!answer.ok) {
    const problem = await answer.json().catch(() => ({}));
    return lines(box, [problem.detail || `It can't be done now (${answer.status}).`, "Go back, look again, and plan anew."]);
  }
  closeAll();
  keep("last", null);
  turnRound();
}

async function finish(panel) {
  const answer = await post(workUrl("/finish"), {});
  if (answer && answer.ok) {
    closeAll();
    return turnRound();
  }
  const problem = answer ? await answer.json().catch(() => ({})) : {};
  return lines(panel.querySelector(".proposal"), [answer ? problem.detail || `It can't be done now (${answer.status}).` : "There is no network. Try again when there is."]);
}

document.getElementById("replan").addEventListener("submit", (event) => { event.preventDefault(); if (proposal) accept(event.target); });
document.getElementById("finish").addEventListener("submit", (event) => { event.preventDefault(); finish(event.target); });
