"""The rooms of one search side by side: each is worked on by one process from beginning to end.

A room's answers depend on what it was asked before and on nothing else, so they are the same whoever works on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from cutting.buying.market import Room
from cutting.fit.clock import Clock
from cutting.search.processes.helpers import Errand, Helper
from cutting.search.rooms.rooms import Ask, Rooms

__all__ = ["SideBySide"]

LOOK = 0.02  # seconds after which it is looked whether time is up


class SideBySide(Rooms):
    """Asks some rooms here and others in helpers.

    Parameters
    ----------
    rooms : sequence of Room
        They.
    helpers : sequence of Helper
        For this search alone; one that dies is closed, and its rooms are begun anew here.
    seed : int
        For every random choice.
    clock : Clock
        Ends it.
    """

    def __init__(self, rooms: Sequence[Room], helpers: Sequence[Helper], *, seed: int, clock: Clock) -> None:
        super().__init__(rooms, seed=seed, clock=clock)
        self._rooms = rooms
        self._seed = seed
        self._threads = ThreadPoolExecutor(max_workers=len(helpers))
        self._known: set[int] = set()
        self._of: dict[int, Helper] = {}
        load: dict[Helper | None, int] = dict.fromkeys([None, *helpers], 0)
        for number in sorted(range(len(rooms)), key=lambda number: -rooms[number].effort):
            least = min(load, key=lambda who: load[who])
            load[least] += rooms[number].effort
            if least is not None:
                self._of[number] = least

    def answers(self, asked: Sequence[Ask]) -> list[Any]:
        """Return the answer to each question; those to one room are put to it in this order."""
        there: dict[Helper, list[int]] = {}
        for number, each in enumerate(asked):
            if each.room in self._of:
                there.setdefault(self._of[each.room], []).append(number)
        waiting = {
            self._threads.submit(self._send, helper, [asked[number] for number in numbers]): helper
            for helper, numbers in there.items()
        }
        found = [None if each.room in self._of else each.of(self.cutters[each.room]) for each in asked]
        for future, helper in waiting.items():
            answers = self._awaited(future, helper)
            for number, answer in zip(there[helper], answers or [None] * len(there[helper]), strict=True):
                found[number] = asked[number].of(self.cutters[asked[number].room]) if answers is None else answer
        return found

    def close(self) -> None:
        """Let the helpers forget the rooms."""
        self._threads.shutdown()
        for helper in set(self._of.values()):
            helper.forget()

    def _send(self, helper: Helper, asked: Sequence[Ask]) -> list[Any]:
        found = []
        for each in asked:
            room = None if each.room in self._known else self._rooms[each.room]
            self._known.add(each.room)
            found.append(helper.answer(Errand(ask=each, room=room, seed=self._seed, limit=self.clock.left())))
        return found

    def _awaited(self, future: Future[list[Any]], helper: Helper) -> list[Any] | None:
        """Wait for a helper; once time is up ask it for what it has, and end it where it doesn't answer in time.

        Returns
        -------
        list or None
            None where it died: its rooms are ours from now on.
        """
        told = False
        while True:
            try:
                return future.result(timeout=LOOK)
            except TimeoutError:
                if self.clock.over() and not told:
                    told = True
                    helper.cancel()
                if told and self.clock.expired():
                    helper.close()
            except (EOFError, OSError, ValueError):  # the last where we closed its pipe
                self._of = {room: other for room, other in self._of.items() if other is not helper}
                helper.close()
                return None
