// Once open the page needs nothing more; what it knew last is newer than a copy that the browser kept.
addEventListener("online", () => turnRound());
addEventListener("offline", () => { reached = false; mark(); });
document.addEventListener("visibilitychange", () => { if (!document.hidden) turnRound(); });
setInterval(() => { if (!document.hidden && (sheet().dataset.work || kept("queue").length)) turnRound(); }, EVERY);

const before = kept("sheet");
const at = kept("ticks").at;
if (before && before.version > Number(sheet().dataset.version)) take(before.text);
ticked();
mark();
show(layoutOf(String(at)) || firstLeft() || layouts()[0]);
turnRound();
