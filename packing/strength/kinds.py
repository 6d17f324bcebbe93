"""The closed lists of words that rules for board grades are made of; each value is what stands in a row."""

from enum import StrEnum


class TableKind(StrEnum):
    """A table of figures that rules go by."""

    POSTAL = "postal"
    DENSE = "dense board"
    DENSITY = "high density"
    FREIGHT = "freight"
    DAYS = "days"
    HUMIDITY = "humidity"


class RuleName(StrEnum):
    """A rule that a board can be held against."""

    POSTAL = "postal"
    DENSE = "dense board"
    DENSITY = "high density"
    FREIGHT = "freight"
    STACKING = "stacking"
