// Once open the page needs nothing more; what it knew last is newer than a copy that the browser kept.
addEventListener("online", () => turnRound());
addEventListener("offline", () => { reached = false; mark(); });
addEventListener("storage", () => { ticked(); mark(); });
document.addEventListener("visibilitychange", () => { if (!document.hidden) turnRound(); });
setInterval(() => { if (!document.hidden && sheet().dataset.work) turnRound(); }, EVERY);

// Of other plans only what somebody wrote is kept, not the copy of their sheet: the browser gives little room.
for (const name of storedNames()) if (/^tallystick-.*-sheet$/.test(name) && name !== `${key}-sheet`) localStorage.removeItem(name);

const before = kept("sheet");
const last = kept("ticks").at;
if (before && before.version > Number(sheet().dataset.version)) take(before.text);
begun();
ticked();
mark();
show(layoutOf(String(last)) || firstLeft() || layouts()[0]);
turnRound();
