"""How a part may lie in the stick: the proper rotations that map the section onto itself.

The cross-section is seen from the trimmed end with its first side upright: w0 points up, w1 to the right. An angle
reads as the letter L, a channel as the letter C, a tee as the letter T, a beam as the letter I. A rotation either
keeps the direction of the stick (a roll) or reverses it (a turn end for end); on the cross-section it is a signed
permutation of the two axes, with determinant 1 for a roll and -1 for a turn, so that in space it is always a
rotation, never a mirror image.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from cutting.fit.angled.shape import Face
from cutting.question.job import Section

__all__ = ["Pose", "poses_of", "rolls_of"]

Matrix = tuple[tuple[int, int], tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Pose:
    """One rotation of a part.

    Attributes
    ----------
    turned : bool
        End for end: its second end comes first on the stick.
    matrix : tuple
        What it does to (w0, w1).
    """

    turned: bool
    matrix: Matrix

    def face(self, face: Face) -> Face:
        """Return where this pose takes a face of the part."""
        return face if face.square else _image(self, face)

    def faces(self, faces: tuple[Face, Face]) -> tuple[Face, Face]:
        """Left and right face of a part that lies in this pose."""
        left, right = (self.face(faces[0]), self.face(faces[1]))
        return (right, left) if self.turned else (left, right)

    @property
    def quarter_turns(self) -> int:
        """Quarter turns clockwise, seen from the trimmed end, by which the part lies rolled.

        A turned part is first turned end for end about its upright axis.
        """
        up = (self.matrix[0][0], self.matrix[1][0])
        return _CLOCKWISE.index(up)


@lru_cache(maxsize=4096)
def _image(pose: Pose, face: Face) -> Face:
    column = (pose.matrix[0][face.plane], pose.matrix[1][face.plane])
    plane = 0 if column[0] else 1
    sign = column[plane] * (-1 if pose.turned else 1)
    return Face(plane, face.lean * sign, face.measure)


_CLOCKWISE: Final = [(1, 0), (0, 1), (-1, 0), (0, -1)]

_IDENTITY: Final = Pose(turned=False, matrix=((1, 0), (0, 1)))
_HALF_ROLL: Final = Pose(turned=False, matrix=((-1, 0), (0, -1)))
_ABOUT_UPRIGHT: Final = Pose(turned=True, matrix=((1, 0), (0, -1)))
_ABOUT_LYING: Final = Pose(turned=True, matrix=((-1, 0), (0, 1)))
_ABOUT_DIAGONAL: Final = Pose(turned=True, matrix=((0, 1), (1, 0)))
_ABOUT_OTHER_DIAGONAL: Final = Pose(turned=True, matrix=((0, -1), (-1, 0)))
_QUARTER_ROLLS: Final = (Pose(turned=False, matrix=((0, -1), (1, 0))), Pose(turned=False, matrix=((0, 1), (-1, 0))))

_UNKNOWN: Final = (_IDENTITY,)
_RECTANGLE: Final = (_IDENTITY, _HALF_ROLL, _ABOUT_UPRIGHT, _ABOUT_LYING)
_SQUARE_TUBE: Final = (*_RECTANGLE, *_QUARTER_ROLLS, _ABOUT_DIAGONAL, _ABOUT_OTHER_DIAGONAL)
_CHANNEL: Final = (_IDENTITY, _ABOUT_LYING)
_TEE: Final = (_IDENTITY, _ABOUT_UPRIGHT)
_EQUAL_ANGLE: Final = (_IDENTITY, _ABOUT_DIAGONAL)

_RECTANGULAR: Final = frozenset({"shs", "rhs", "flat", "square"})
_ROUND: Final = frozenset({"chs", "pipe", "round"})


def poses_of(section: Section) -> tuple[Pose, ...]:
    """Return the poses of a section's symmetry, the identity first.

    Rectangular hollow, flat and beams (I and H) have 4, square hollow 8, channel 2, tee 2, equal angle 2, unequal
    angle and whatever we don't know 1. A round may be rolled at will; as parts are angled in two planes square to
    each other at most, its quarter turns are all that can ever help, so it counts as a square.
    """
    sides = section.sides
    equal = len(sides) > 1 and sides[0] == sides[1]
    if section.family in _ROUND:
        return _SQUARE_TUBE
    if section.family in _RECTANGULAR and sides:
        return _SQUARE_TUBE if equal else _RECTANGLE
    if section.family == "beam":
        return _RECTANGLE  # also where it is as wide as it is deep: web and flanges don't change places
    if section.family == "channel":
        return _CHANNEL
    if section.family == "tee":
        return _TEE
    if section.family == "angle" and equal:
        return _EQUAL_ANGLE
    return _UNKNOWN


def rolls_of(section: Section) -> tuple[Pose, ...]:
    """Return the poses that keep the direction of the stick."""
    return tuple(pose for pose in poses_of(section) if not pose.turned)
