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
  const answer = await ask(workUrl("/replans"), { method: "POST", body: "{}" }, SOLVE_PATIENCE);
  if (!answer) return lines(box, ["There is no network: nothing was planned. Try again when there is."]);
  const came = await answer.json().catch(() => ({}));
  if (!answer.ok) return lines(box, [why(came, answer.status)]);
  lines(box, came.words);
  proposal = came;
  take.hidden = !(came.possible && (came.void.length || came.used.length || came.freed.length));
}

async function accept(panel) {
  const box = panel.querySelector(".proposal");
  const take = panel.querySelector("[type=submit]");
  const earlier = sheet().dataset.mark;
  take.hidden = true;
  const answer = await post(workUrl("/replans/accept"), { proposal: proposal.proposal }, SOLVE_PATIENCE);
  if (answer && answer.ok) {
    closeAll();
    keep("last", null);
    await turnRound();
    return show(firstLeft() || shown);
  }
  if (!answer) {
    take.hidden = false;
    return lines(box, ["The network is lost. Press again when it is back: it is done once at most."]);
  }
  const problem = await answer.json().catch(() => ({}));
  lines(box, [why(problem, answer.status), "Leave it, look what is new, and plan anew."]);
  await turnRound();
  return sheet().dataset.mark === earlier ? null : closeAll();
}

async function finish(panel) {
  const answer = await post(workUrl("/finish"), {});
  if (answer && answer.ok) {
    closeAll();
    return turnRound();
  }
  const problem = answer ? await answer.json().catch(() => ({})) : {};
  return lines(panel.querySelector(".proposal"), [answer ? why(problem, answer.status) : "There is no network. Try again when there is."]);
}

document.getElementById("replan").addEventListener("submit", (event) => { event.preventDefault(); if (proposal) accept(event.target); });
document.getElementById("finish").addEventListener("submit", (event) => { event.preventDefault(); finish(event.target); });
