"""The order and the poses of the parts on one stick: least loss exactly, then fewest swings of the saw, fewest rolls.

The loss is settled first, by `cutting.angled.order`: only steps that keep it least are followed. Among those, dynamic
programming over (pieces left of each kind, last face, how the stick lies) counts strokes that need another setting of the
saw and strokes before which the stick is rolled. Beyond a number of states the most promising are kept, so that this
second part is then best effort.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from cutting.angled.gaps import Gaps, is_shared
from cutting.angled.order import Orders
from cutting.angled.poses import Pose
from cutting.angled.rows import Faces
from cutting.angled.shape import Face

__all__ = ["Laid", "Setting", "settings", "sequence"]

_MOST_STATES: Final = 1_500
_MOST_ALIKE: Final = 4
_ANY: Final = -1  # before anything was cut the stick may lie any way


@dataclass(frozen=True, slots=True)
class Laid:
    """One part in the row: its number among the section's kinds of part, and its pose."""

    item: int
    pose: Pose


@dataclass(frozen=True, slots=True)
class Setting:
    """How saw and stick stand for a stroke.

    Attributes
    ----------
    lies : int
        Which end of which side of the section is at the back: 0 the top of the first side, 1 the right of the second, 2
        the bottom of the first, 3 the left of the second; -1 where no stroke has fixed it yet.
    swing : Fraction
        Signed degrees the saw is set to; positive reaches further along the stick at the back.
    """

    lies: int
    swing: Fraction


def settings(face: Face, lies: int, *, one_way: bool) -> Iterator[Setting]:
    """Yield the ways to cut a face with the stick lying so now, the one that leaves it lying first."""
    if face.square:
        yield Setting(lies, Fraction(0))
        return
    ways = [Setting(face.plane, face.lean), Setting(face.plane + 2, -face.lean)]
    for way in sorted(ways, key=lambda way: way.lies != lies):
        if way.swing > 0 or not one_way:
            yield way


@dataclass(frozen=True, slots=True)
class _Kind:
    """Parts that lie in the same poses with the same faces, whatever their lengths."""

    poses: tuple[tuple[Faces, Pose], ...]
    type: int


State = tuple[tuple[int, ...], Face | None, Setting]


@dataclass(frozen=True, slots=True)
class _Step:
    """How a state was reached: effort so far (swings, rolls), where from, which kind in which pose."""

    effort: tuple[int, int]
    before: State | None
    kind: int
    pose: Pose | None


class _Sequencer:
    def __init__(self, orders: Orders, faces: Sequence[Faces], poses: Sequence[Pose], gaps: Gaps, *, one_way: bool) -> None:
        self.orders = orders
        self.gaps = gaps
        self.one_way = one_way
        self.kinds: list[_Kind] = []
        known: dict[frozenset[Faces], int] = {}
        self.kind_of: list[int] = []
        for item, own in enumerate(faces):
            images = {pose.faces(own): pose for pose in reversed(poses)}
            key = frozenset(images)
            if key not in known:
                known[key] = len(self.kinds)
                ways = tuple((lying, pose) for pose in poses for lying in [pose.faces(own)] if images[lying] == pose)
                self.kinds.append(_Kind(ways, orders.type_of[item]))
            self.kind_of.append(known[key])

    def run(self, pattern: Sequence[int]) -> tuple[list[tuple[int, Pose]], bool]:
        """Find kinds and poses in order; say whether the second part was exhaustive."""
        counts = [0] * len(self.kinds)
        for item, pieces in enumerate(pattern):
            counts[self.kind_of[item]] += pieces
        spare = [self._spare(kind, pieces) for kind, pieces in enumerate(counts)]
        start: State = (tuple(c - s for c, s in zip(counts, spare, strict=True)), None, Setting(_ANY, Fraction(0)))
        layer: dict[State, _Step] = {start: _Step((0, 0), None, -1, None)}
        history = [layer]
        whole = True
        for _ in range(sum(start[0])):
            layer = self._next(layer)
            if len(layer) > _MOST_STATES:
                whole = False
                best = sorted(layer.items(), key=lambda entry: entry[1].effort)[:_MOST_STATES]
                layer = dict(best)
            history.append(layer)
        last = min(layer, key=lambda state: self._closing(state, layer[state]))
        return self._with_spare(self._traced(history, last), spare), whole

    def _spare(self, kind: int, pieces: int) -> int:
        """Pairs beyond four of a kind go face to face behind one of their own, at no loss."""
        images = [lying for lying, _ in self.kinds[kind].poses]
        turnable = all((right, left) in images for left, right in images)
        return 2 * ((pieces - _MOST_ALIKE + 1) // 2) if turnable and pieces > _MOST_ALIKE else 0

    def _types(self, counts: Sequence[int]) -> tuple[int, ...]:
        totals = [0] * len(self.orders.types)
        for kind, pieces in enumerate(counts):
            totals[self.kinds[kind].type] += pieces
        return tuple(totals)

    def _next(self, layer: dict[State, _Step]) -> dict[State, _Step]:
        after: dict[State, _Step] = {}
        for state, step in layer.items():
            for reached, effort, kind, pose in self._steps(state, step):
                known = after.get(reached)
                if known is None or effort < known.effort:
                    after[reached] = _Step(effort, state, kind, pose)
        return after

    def _steps(self, state: State, step: _Step) -> Iterator[tuple[State, tuple[int, int], int, Pose]]:
        counts, last, setting = state
        whole = self.orders.rest(self._types(counts), -1 if last is None else self._number(last))
        for kind, pieces in enumerate(counts):
            if not pieces:
                continue
            less = (*counts[:kind], pieces - 1, *counts[kind + 1 :])
            types = self._types(less)
            for (left, right), pose in self.kinds[kind].poses:
                joint = self._joint(last, left)
                if joint + self.orders.rest(types, self._number(right)) != whole:
                    continue
                for now, effort in self._strokes(last, left, setting, step.effort):
                    yield (less, right, now), effort, kind, pose

    def _number(self, face: Face) -> int:
        return self.orders.number(face)

    def _joint(self, last: Face | None, left: Face) -> int:
        unit = self.orders.model.unit
        amount = self.gaps.outer(left) if last is None else self.gaps.between(last, left)
        return int(amount / unit)

    def _strokes(
        self, last: Face | None, left: Face, setting: Setting, effort: tuple[int, int]
    ) -> Iterator[tuple[Setting, tuple[int, int]]]:
        """Strokes that end the last part and begin the next one."""
        cuts = [left] if last is None or is_shared(last, left) else [last, left]
        if last is None and left.square:
            yield setting, effort
            return
        ways = [(setting, effort)]
        for face in cuts:
            ways = [
                (way, _effort(before, way, spent))
                for before, spent in ways
                for way in settings(face, before.lies, one_way=self.one_way)
            ]
        yield from ways

    def _closing(self, state: State, step: _Step) -> tuple[int, int]:
        """Effort with the last stroke behind the row."""
        _, last, setting = state
        if last is None:
            return step.effort
        return min(_effort(setting, way, step.effort) for way in settings(last, setting.lies, one_way=self.one_way))

    def _traced(self, history: list[dict[State, _Step]], last: State) -> list[tuple[int, Pose]]:
        row: list[tuple[int, Pose]] = []
        state = last
        for layer in reversed(history[1:]):
            step = layer[state]
            assert step.before is not None
            assert step.pose is not None
            row.append((step.kind, step.pose))
            state = step.before
        return row[::-1]

    def _with_spare(self, row: list[tuple[int, Pose]], spare: list[int]) -> list[tuple[int, Pose]]:
        """Put spare pairs behind the first of their kind: one the other way round, one as before."""
        result: list[tuple[int, Pose]] = []
        for kind, pose in row:
            result.append((kind, pose))
            if not spare[kind]:
                continue
            left, right = next(lying for lying, way in self.kinds[kind].poses if way == pose)
            other = next(way for lying, way in self.kinds[kind].poses if lying == (right, left))
            while spare[kind]:
                result += [(kind, other), (kind, pose)]
                spare[kind] -= 2
        return result


def _effort(before: Setting, after: Setting, spent: tuple[int, int]) -> tuple[int, int]:
    rolled = before.lies not in (_ANY, after.lies)
    return spent[0] + (before.swing != after.swing), spent[1] + rolled


def sequence(
    pattern: Sequence[int],
    *,
    orders: Orders,
    faces: Sequence[Faces],
    poses: Sequence[Pose],
    gaps: Gaps,
    one_way: bool = False,
) -> tuple[Laid, ...]:
    """Put the parts of one stick in order.

    Parameters
    ----------
    pattern : sequence of int
        Pieces of each kind of part, which are numbered from the longest.
    orders : Orders
        The section's.
    faces : sequence of (Face, Face)
        Of each kind of part.
    poses : sequence of Pose
        How parts of the section may lie.
    gaps : Gaps
        Gap arithmetic of section and saw.
    one_way : bool
        The saw swings to one side only.
    """
    sequencer = _Sequencer(orders, faces, poses, gaps, one_way=one_way)
    row, _ = sequencer.run(pattern)
    waiting: dict[int, list[int]] = {}
    for item, pieces in enumerate(pattern):
        waiting.setdefault(sequencer.kind_of[item], []).extend([item] * pieces)
    laid = []
    for kind, pose in row:
        item = waiting[kind].pop(0)
        # The pose was found for the first part of its kind; another may be described the other way round.
        wanted = next(lying for lying, way in sequencer.kinds[kind].poses if way == pose)
        laid.append(Laid(item, next(way for way in poses if way.faces(faces[item]) == wanted)))
    return tuple(laid)
