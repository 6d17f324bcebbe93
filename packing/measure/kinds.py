"""The closed lists of words an order is made of: each is an enumeration, and each value is what stands in the file."""

from enum import StrEnum


class ItemKind(StrEnum):
    """A tool in a T shape, or a block that rides along."""

    TOOL = "tool"
    BLOCK = "block"


class Form(StrEnum):
    """What kind of tool it is: decides what is sharp, what may stand on its end and what is plausible."""

    HAMMER = "hammer"
    AXE = "axe"
    ADZE = "adze"
    MALLET = "mallet"


class Sharp(StrEnum):
    """Which ends of a head are sharp: the far one is the peen's or the edge's."""

    NONE = "none"
    FAR = "far"
    BOTH = "both"


class Mark(StrEnum):
    """Which cheek bears the mark: how it is seen with the handle pointing down."""

    FACE_LEFT = "face_left"
    FACE_RIGHT = "face_right"
