"""The closed lists of words an order is made of: each is an enumeration, and each value is what stands in the file."""

from enum import StrEnum


class ItemKind(StrEnum):
    """A tool in a T shape, or a block that rides along."""

    TOOL = "tool"
    BLOCK = "block"


class Form(StrEnum):
    """The kind of tool, which decides what is sharp, what may stand on its end and what is plausible."""

    HAMMER = "hammer"
    AXE = "axe"
    ADZE = "adze"
    MALLET = "mallet"


class Sharp(StrEnum):
    """Sharp ends of a head: the far one is the peen's or the edge's."""

    NONE = "none"
    FAR = "far"
    BOTH = "both"


class Mark(StrEnum):
    """The cheek that bears the mark, as it is seen with the handle pointing down."""

    FACE_LEFT = "face_left"
    FACE_RIGHT = "face_right"
