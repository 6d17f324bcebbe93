"""The closed lists of words a carrier's rule is made of; each value is what stands in a row."""

from enum import StrEnum


class System(StrEnum):
    """The units of a service's figures: of length, then of weight."""

    INCHES_POUNDS = "in/lb"
    CENTIMETRES_KILOGRAMS = "cm/kg"


class Rounding(StrEnum):
    """The rounding of sides: to whole units, half up, any fraction up, down; or not at all."""

    NEAREST = "nearest"
    UP = "up"
    DOWN = "down"
    NONE = "none"


class TriggerSides(StrEnum):
    """The sides that one limit is held against: as the service rounds them, exact, or down to a quarter unit."""

    AS_SERVICE = ""
    EXACT = "exact"
    DOWN_QUARTER = "down_quarter"


class Measure(StrEnum):
    """The measure that a limit is set on.

    The longest and the second-longest side, the sum of all three, length and girth, volume, weight; an outer container
    that is not corrugated board; the dimensional weight.
    """

    LONGEST = "longest"
    SECOND = "second"
    SUM = "sum"
    LENGTH_GIRTH = "length_girth"
    VOLUME = "volume"
    WEIGHT = "weight"
    PACKAGING = "packaging"
    DIMENSIONAL = "dimensional"


class Reach(StrEnum):
    """The reach of a service: within the country a parcel is sent from, to any other, or to both."""

    ANYWHERE = "anywhere"
    HOME = "home"
    ABROAD = "abroad"
