"""The order and the poses of the parts on one stick: least loss exactly, then fewest swings of the saw, fewest rolls.

The loss is settled first, by `cutting.fit.angled.order`: only steps that keep it least are followed. Among those,
dynamic programming over (pieces left of each kind, last face, how the stick lies) counts strokes that need another
setting of the saw and strokes before which the stick is rolled. Beyond a number of states the most promising are
kept, so that this second part is then best effort.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from cutting.answer.load import held
from cutting.fit.angled.gaps import Gaps, is_shared
from cutting.fit.angled.order import RowOrders
from cutting.fit.angled.poses import Pose
from cutting.fit.angled.rows import Faces
from cutting.fit.angled.shape import Face

__all__ = ["SQUARE_START", "Effort", "Laid", "Sequencer", "Setting", "added_effort", "settings", "stroke_faces"]

_MOST_STATES: Final = 400
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


SQUARE_START = Setting(_ANY, Fraction(0))


def settings(face: Face, lies: int, *, one_way: bool) -> Iterator[Setting]:
    """Yield the ways to cut a face with the stick lying so now, the one that leaves it lying first."""
    if face.square:
        yield Setting(lies, Fraction(0))
        return
    ways = [Setting(face.plane, face.lean), Setting(face.plane + 2, -face.lean)]
    for way in sorted(ways, key=lambda way: way.lies != lies):
        if way.swing > 0 or not one_way:
            yield way


def stroke_faces(last: Face | None, left: Face) -> tuple[Face, ...]:
    """Faces that strokes make between a part and the next, in order: one where they share it."""
    if last is None:
        return () if left.square else (left,)
    return (last,) if is_shared(last, left) else (last, left)


Effort = tuple[int, int]  # swings, rolls
State = tuple[tuple[int, ...], int, int]  # pieces left of each kind; numbers of the last face and of the setting


@dataclass(frozen=True, slots=True)
class _Way:
    """A pose of a kind: numbers of its left and right face, and of the right one's class."""

    left: int
    right: int
    ends: int
    pose: Pose


class Sequencer:
    """Puts the parts of one stick in order; keeps what it learns for the section's next stick.

    Parameters
    ----------
    orders : RowOrders
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

    def __init__(
        self, orders: RowOrders, faces: Sequence[Faces], poses: Sequence[Pose], gaps: Gaps, *, one_way: bool
    ) -> None:
        self.orders = orders
        self.described = faces
        self.poses = poses
        self.gaps = gaps
        self.one_way = one_way
        self.faces: list[Face] = []
        self.settings: list[Setting] = [SQUARE_START]
        self.kind_of: list[int] = []
        self.ways: list[tuple[_Way, ...]] = []
        self.types: list[int] = []
        self._number: dict[Face, int] = {}
        self._setting: dict[Setting, int] = {SQUARE_START: 0}
        self._lay: dict[tuple[int, int, int], Laid] = {}
        self._joints: dict[tuple[int, int], int] = {}
        self._strokes: dict[tuple[int, int, int], tuple[tuple[int, int, int], ...]] = {}
        self._group(faces, poses)

    def _group(self, faces: Sequence[Faces], poses: Sequence[Pose]) -> None:
        """Take parts for one kind that lie in the same poses with the same faces, whatever their lengths."""
        known: dict[frozenset[Faces], int] = {}
        for item, own in enumerate(faces):
            images: dict[Faces, Pose] = {}
            for pose in poses:
                images.setdefault(pose.faces(own), pose)
            key = frozenset(images)
            if key not in known:
                known[key] = len(self.ways)
                self.ways.append(tuple(self._way(lying, pose) for lying, pose in images.items()))
                self.types.append(self.orders.type_of[item])
            self.kind_of.append(known[key])

    def _way(self, lying: Faces, pose: Pose) -> _Way:
        left, right = (self._numbered(face) for face in lying)
        return _Way(left, right, self.orders.number(lying[1]), pose)

    def _numbered(self, face: Face) -> int:
        if face not in self._number:
            self._number[face] = len(self.faces)
            self.faces.append(face)
        return self._number[face]

    def sequence(self, pattern: Sequence[int]) -> tuple[Laid, ...]:
        """Put the parts of one stick in order.

        Parameters
        ----------
        pattern : sequence of int
            Pieces of each kind of part, which are numbered from the longest.
        """
        counts = [0] * len(self.ways)
        waiting: list[list[int]] = [[] for _ in self.ways]
        for item, pieces in held(pattern):
            counts[self.kind_of[item]] += pieces
            waiting[self.kind_of[item]] += [item] * pieces
        laid = []
        for kind, way in self._run(counts):
            item = waiting[kind].pop(0)
            laid.append(self._laid(item, way))
        return tuple(laid)

    def _laid(self, item: int, way: _Way) -> Laid:
        """Lay a part: the pose was found for the first of its kind, another may be described the other way round."""
        key = (item, way.left, way.right)
        if key not in self._lay:
            wanted = (self.faces[way.left], self.faces[way.right])
            pose = next(pose for pose in self.poses if pose.faces(self.described[item]) == wanted)
            self._lay[key] = Laid(item, pose)
        return self._lay[key]

    def _run(self, counts: Sequence[int]) -> list[tuple[int, _Way]]:
        """Find kinds and poses in order."""
        spare = [self._spare(kind, pieces) for kind, pieces in enumerate(counts)]
        start: State = (tuple(c - s for c, s in zip(counts, spare, strict=True)), _ANY, 0)
        layer: dict[State, _Step] = {start: _Step((0, 0), start, -1, None)}
        history = [layer]
        for _ in range(sum(start[0])):
            layer = self._next(layer)
            if len(layer) > _MOST_STATES:
                layer = dict(sorted(layer.items(), key=lambda entry: entry[1].effort)[:_MOST_STATES])
            history.append(layer)
        last = min(layer, key=lambda state: self._closing(state, layer[state].effort))
        return self._with_spare(_traced(history, last), spare)

    def _spare(self, kind: int, pieces: int) -> int:
        """Pairs beyond four of a kind go face to face behind one of their own, at no loss."""
        pairs = {(way.left, way.right) for way in self.ways[kind]}
        turnable = all((right, left) in pairs for left, right in pairs)
        return 2 * ((pieces - _MOST_ALIKE + 1) // 2) if turnable and pieces > _MOST_ALIKE else 0

    def _totals(self, counts: Sequence[int]) -> tuple[int, ...]:
        totals = [0] * len(self.orders.types)
        for kind, pieces in enumerate(counts):
            totals[self.types[kind]] += pieces
        return tuple(totals)

    def _next(self, layer: dict[State, _Step]) -> dict[State, _Step]:
        after: dict[State, _Step] = {}
        moves: dict[tuple[tuple[int, ...], int], list[tuple[tuple[int, ...], int, _Way]]] = {}
        for state, step in layer.items():
            counts, last, setting = state
            found = moves.get((counts, last))
            if found is None:
                found = moves[counts, last] = list(self._moves(counts, last))
            for less, kind, way in found:
                for now, swings, rolls in self._cuts(last, way.left, setting):
                    reached = (less, way.right, now)
                    effort = (step.effort[0] + swings, step.effort[1] + rolls)
                    known = after.get(reached)
                    if known is None or effort < known.effort:
                        after[reached] = _Step(effort, state, kind, way)
        return after

    def _moves(self, counts: tuple[int, ...], last: int) -> Iterator[tuple[tuple[int, ...], int, _Way]]:
        """Yield the parts that may come next without losing more than must be lost."""
        whole = self.orders.rest(self._totals(counts), _ANY if last == _ANY else self.orders.number(self.faces[last]))
        for kind, pieces in enumerate(counts):
            if not pieces:
                continue
            less = (*counts[:kind], pieces - 1, *counts[kind + 1 :])
            totals = self._totals(less)
            for way in self.ways[kind]:
                if self._joint(last, way.left) + self.orders.rest(totals, way.ends) == whole:
                    yield less, kind, way

    def _joint(self, last: int, left: int) -> int:
        found = self._joints.get((last, left))
        if found is None:
            face = self.faces[left]
            amount = self.gaps.outer(face) if last == _ANY else self.gaps.between(self.faces[last], face)
            found = self._joints[last, left] = int(amount / self.orders.model.unit)
        return found

    def _cuts(self, last: int, left: int, setting: int) -> tuple[tuple[int, int, int], ...]:
        """Ways to make the strokes between a part and the next: (setting after them, swings, rolls)."""
        key = (last, left, setting)
        found = self._strokes.get(key)
        if found is None:
            cuts = stroke_faces(None if last == _ANY else self.faces[last], self.faces[left])
            ways: dict[Setting, Effort] = {self.settings[setting]: (0, 0)}
            for face in cuts:
                ways = self._after(face, ways)
            found = tuple((self._set(way), *effort) for way, effort in ways.items())
            self._strokes[key] = found
        return found

    def _after(self, face: Face, ways: dict[Setting, Effort]) -> dict[Setting, Effort]:
        after: dict[Setting, Effort] = {}
        for before, spent in ways.items():
            for way in settings(face, before.lies, one_way=self.one_way):
                effort = added_effort(before, way, spent)
                if way not in after or effort < after[way]:
                    after[way] = effort
        return after

    def _set(self, setting: Setting) -> int:
        if setting not in self._setting:
            self._setting[setting] = len(self.settings)
            self.settings.append(setting)
        return self._setting[setting]

    def _closing(self, state: State, effort: Effort) -> Effort:
        """Effort with the last stroke behind the row."""
        ways = self._after(self.faces[state[1]], {self.settings[state[2]]: effort})
        return min(ways.values())

    def _with_spare(self, row: list[tuple[int, _Way]], spare: list[int]) -> list[tuple[int, _Way]]:
        """Put spare pairs behind the first of their kind: one the other way round, one as before."""
        result: list[tuple[int, _Way]] = []
        for kind, way in row:
            result.append((kind, way))
            if spare[kind]:
                other = next(each for each in self.ways[kind] if (each.left, each.right) == (way.right, way.left))
                result += [(kind, other), (kind, way)] * (spare[kind] // 2)
                spare[kind] = 0
        return result


@dataclass(frozen=True, slots=True)
class _Step:
    """How a state was reached: effort so far, where from, which kind in which pose."""

    effort: Effort
    before: State
    kind: int
    way: _Way | None


def _traced(history: list[dict[State, _Step]], last: State) -> list[tuple[int, _Way]]:
    row: list[tuple[int, _Way]] = []
    state = last
    for layer in reversed(history[1:]):
        step = layer[state]
        assert step.way is not None
        row.append((step.kind, step.way))
        state = step.before
    return row[::-1]


def added_effort(before: Setting, after: Setting, spent: Effort) -> Effort:
    """Add what it takes to go from one setting to another."""
    return spent[0] + (before.swing != after.swing), spent[1] + (before.lies not in (_ANY, after.lies))
