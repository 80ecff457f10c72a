"""Short work takes turns by client."""

from __future__ import annotations

import asyncio

import pytest

from api.service.runner.fair import FullError
from api.service.runner.turns import Turns


class Scene:
    """Clients that take a turn, note when they got it, and hold it until they are told to go."""

    def __init__(self, places: int, waiting_each: int = 9) -> None:
        self.turns = Turns(places, waiting_each)
        self.got: list[str] = []
        self.going: dict[str, asyncio.Event] = {}
        self.tasks: list[asyncio.Task[None]] = []

    async def come(self, *clients: str, seconds: float = 60) -> None:
        for client in clients:
            self.tasks.append(asyncio.create_task(self._one(client, seconds)))
            await settled()

    async def _one(self, client: str, seconds: float) -> None:
        async with self.turns.turn(client, seconds):
            name = f"{client}{sum(each[0] == client for each in self.got)}"
            self.got.append(name)
            self.going[name] = asyncio.Event()
            await self.going[name].wait()

    async def go(self, name: str) -> None:
        self.going[name].set()
        await settled()

    async def end(self) -> None:
        while not all(task.done() for task in self.tasks):
            for event in self.going.values():
                event.set()
            await settled()
        await asyncio.gather(*self.tasks)


async def settled() -> None:
    for _ in range(10):
        await asyncio.sleep(0)


def run(story) -> None:
    asyncio.run(story)


def test_a_client_who_asks_for_much_doesn_t_keep_the_next_one_waiting() -> None:
    async def story() -> None:
        scene = Scene(3)
        await scene.come("a", "a", "a", "a", "b")
        assert scene.got == ["a0", "a1", "b0"]  # the last place is for somebody else
        await scene.come("c", "b")
        await scene.go("a0")
        assert scene.got[3:] == ["a2"]  # it waited longest
        await scene.go("b0")
        assert scene.got[4:] == ["c0"]
        await scene.go("a1")
        assert scene.got[5:] == ["b1"]
        await scene.end()
        assert sorted(scene.got) == ["a0", "a1", "a2", "a3", "b0", "b1", "c0"]

    run(story())


def test_one_place_is_given_out_in_turn() -> None:
    async def story() -> None:
        scene = Scene(1)
        await scene.come("a", "a", "a", "b", "c")
        for _ in range(4):
            await scene.go(scene.got[-1])
        assert scene.got == ["a0", "a1", "b0", "c0", "a2"]
        await scene.end()

    run(story())


def test_who_waits_too_long_or_with_too_many_is_told_and_costs_no_place() -> None:
    async def story() -> None:
        scene = Scene(2, waiting_each=1)
        await scene.come("a")
        with pytest.raises(TimeoutError):
            async with scene.turns.turn("a", 0.01):
                raise AssertionError
        await scene.come("a")
        with pytest.raises(FullError):
            async with scene.turns.turn("a", 60):
                raise AssertionError
        scene.tasks[1].cancel()
        await settled()
        await scene.come("b", "b", "c")
        await scene.go("b0")
        assert scene.got == ["a0", "b0", "b1"]
        scene.tasks.pop(1)
        await scene.end()
        assert scene.turns._held.total() == 0
        assert scene.turns._waiting == {}

    run(story())


def test_a_turn_that_comes_just_as_somebody_leaves_is_passed_on() -> None:
    async def story() -> None:
        scene = Scene(1)
        await scene.come("a", "b", "c")
        scene.going["a0"].set()
        scene.tasks[1].cancel()
        await settled()
        assert scene.got == ["a0", "c0"]
        scene.tasks.pop(1)
        await scene.end()
        assert scene.turns._held.total() == 0

    run(story())
