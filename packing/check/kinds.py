"""The words of a plan's file that the checker goes by: its own, since it shares no code with what it checks."""

from enum import StrEnum


class Pose(StrEnum):
    """The pose of an item."""

    FLAT = "flat"
    END = "end"
    BLOCK = "block"


class Part(StrEnum):
    """A part of an item, or a notch beside it."""

    HEAD = "head"
    HANDLE = "handle"
    NOTCH = "notch"
    PLATE = "plate"


class Role(StrEnum):
    """The role of a sheet."""

    LAYER = "layer"
    COVER = "cover"
    BETWEEN = "between"


class Lifting(StrEnum):
    """The way an item is lifted out."""

    NOTCH = "notch"
    TAPE = "tape"


class Stuff(StrEnum):
    """The material of a piece of a box."""

    BOARD = "board"


class Answer(StrEnum):
    """The status of a plan that there is."""

    PLANNED = "planned"


class Require(StrEnum):
    """The parts of a plan that have to be there: all, or the nesting alone."""

    FULL = "full"
    NESTING = "nesting"
