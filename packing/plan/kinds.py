"""The closed lists of words a plan is made of: each is an enumeration, and each value is what stands in the file."""

from enum import StrEnum

from packing.measure import Form as Form  # noqa: PLC0414
from packing.measure import ItemKind as ItemKind  # noqa: PLC0414
from packing.measure import Mark as Mark  # noqa: PLC0414
from packing.measure import Sharp as Sharp  # noqa: PLC0414


class Status(StrEnum):
    """The outcome of planning an order."""

    PLANNED = "planned"
    IMPOSSIBLE = "impossible"
    NOT_FOUND = "not found"


class Limit(StrEnum):
    """The rule that is in the way of a plan."""

    LENGTH = "max_interior length"
    WIDTH = "max_interior width"
    HEIGHT = "max_interior height"
    LAYER_WEIGHT = "max_layer_g"
    GROSS_WEIGHT = "max_gross_g"
    EFFORT = "effort"
    BOARD = "board"


INTERIOR_LIMITS = (Limit.LENGTH, Limit.WIDTH, Limit.HEIGHT)
"""In the order of an interior's sides."""


class Pose(StrEnum):
    """The pose of an item: a tool on a cheek or standing on its face or poll, a block on any side."""

    FLAT = "flat"
    END = "end"
    BLOCK = "block"


class Part(StrEnum):
    """A part of an item, the finger notch beside its pocket, or the slot of a plate."""

    HEAD = "head"
    HANDLE = "handle"
    BLOCK = "block"
    NOTCH = "notch"
    PLATE = "plate"


class SheetRole(StrEnum):
    """The role of a sheet of the insert."""

    BASE = "base"
    LAYER = "layer"
    COVER = "cover"
    BETWEEN = "between"
    TOP = "top"


class LooseKind(StrEnum):
    """A loose piece of the insert, or a whole sheet of it, as the cut list names it."""

    SHEET = "sheet"
    SADDLE = "saddle"
    PLUG = "plug"
    FILL = "fill"
    REST = "rest"
    PLATE = "plate"


class LiftKind(StrEnum):
    """The kind of lift of a piece: a notch for a finger or a tape under its head."""

    NOTCH = "notch"
    TAPE = "tape"


class Grip(StrEnum):
    """The hold that fingers have on a sheet that is lifted out: two opposite corners cut off, or a tab of tape."""

    CORNERS = "corners"
    TAPE = "tape"


class Axis(StrEnum):
    """A direction in the plane of a layer."""

    X = "x"
    Y = "y"


class ContainerKind(StrEnum):
    """The material of a container."""

    CARTON = "carton"
    CORRUGATED = "corrugated"
    WOOD = "wood"


class FoldName(StrEnum):
    """A part of a box that folds from board."""

    CASE = "case"
    BODY = "body"
    LID = "lid"
    OUTER_CASE = "outer case"


class Packaging(StrEnum):
    """The packaging that a carrier sees from outside."""

    CORRUGATED = "corrugated"
    WOOD = "wood"
    WOOD_WITH_HANDLES = "wood with rope handles"


class StockKind(StrEnum):
    """The stock that a piece of a box is cut from."""

    BOARD = "board"
    TIMBER = "timber"


class Cutter(StrEnum):
    """A tool that cuts foam, board or wood."""

    KNIFE = "knife"
    LASER = "laser"
    SAW = "saw"
    ROUTER = "router"
    HOT_WIRE = "hot wire"
    BAND_SAW = "band saw"


class PieceRole(StrEnum):
    """The role of a flat piece of a box; the value is how it is called."""

    BLANK = "blank"
    HALF_BLANK = "half blank"
    BODY_BLANK = "body blank"
    LID_BLANK = "lid blank"
    CARTON = "carton"
    PAD = "pad"
    SIDE = "side"
    LONG_SIDE = "long side"
    END = "end"
    FAR_END = "far end"
    NEAR_END = "near end"
    BOTTOM = "bottom"
    BOTTOM_BOARD = "bottom board"
    LID = "lid"
    LID_BOARD = "lid board"
    LID_BATTEN = "lid batten"
    END_CLEAT = "end cleat"
    FOOT = "foot"


class Shell(StrEnum):
    """One of two boxes that something belongs to: the box round the insert, or the case outside that box."""

    BOX = "box"
    CASE = "case"


class PanelKind(StrEnum):
    """The part that a panel of a blank becomes when it is folded."""

    WALL = "wall"
    INNER_FLAP = "inner flap"
    MIDDLE_FLAP = "middle flap"
    OUTER_FLAP = "outer flap"
    JOINT = "joint"


class FastenerKind(StrEnum):
    """A thing that holds pieces of wood together, or is fastened to them."""

    SCREW = "screw"
    NAIL = "nail"
    CLINCHED_NAIL = "clinched nail"
    HANDLE = "handle"


class PriceKind(StrEnum):
    """A thing with a price or a time in the shop's rows, where one that is missing is to be written."""

    BOARD = "board"
    WOOD = "wood"
    CARTON = "carton"
    FASTENER = "fastener"
    FOAM = "foam"
    STIFF_SHEET = "stiff sheet"
    WORK = "work"
    HOUR = "hour"
    BILLED_WEIGHT = "billed weight"


class Objective(StrEnum):
    """The aim of a choice: what a box is to be least in; OFFER: a box that a person took."""

    VOLUME = "volume"
    PRICE = "price"
    WORK = "work"
    FLAT = "flat"
    OFFER = "offer"


class Purpose(StrEnum):
    """The purpose that an offered box is best at."""

    CHEAPEST = "cheapest to send"
    LEAST_WORK = "least work"
    FLATTEST = "flattest"
    WOODEN = "wooden"


class TapePattern(StrEnum):
    """The pattern of the tape on a closed box."""

    H = "H"
    STRIPS = "strips"
    NONE = "none"


class GrooveKind(StrEnum):
    """A channel in the face of a piece, or a rebate at its edge."""

    GROOVE = "groove"
    STEP = "step"
    FINGER_PULL = "finger pull"


class Verdict(StrEnum):
    """The verdict of one rule on one board under one load."""

    PASSES = "passes"
    FAILS = "fails"
    NOT_APPLICABLE = "not applicable"
    NOT_KNOWN = "not known"
    NOT_JUDGED = "not judged"
    OUT_OF_RANGE = "out of range"  # what earlier plans say for "not judged"


class FactKind(StrEnum):
    """The subject of a rule, where somebody asks for that rule alone."""

    FOLDING = "folding"


class TreatmentVerdict(StrEnum):
    """The demand of the rules for wood in packaging on a parcel."""

    NO_WOOD = "no wood"
    NOT_ABROAD = "not abroad"
    EXEMPT = "exempt"
    MARK_NEEDED = "mark needed"


class SundryKind(StrEnum):
    """A thing that rides along in a box besides pieces, insert and box."""

    CLOSING_TAPE = "closing tape"
    LIFT_TAPE = "lift tape"
    PAPERS = "papers"
    WRAP = "wrap"
    EDGE_GUARD = "edge guard"
    THIN_FOAM = "thin foam"
    PLATES = "plates"
    CARTON_FILL = "carton fill"


class CostUnit(StrEnum):
    """The unit that material and work are counted in."""

    SQUARE_METRE = "m²"
    CUBIC_METRE = "m³"
    BOARD_FOOT = "board foot"
    EACH = "each"
    HOUR = "hour"


class Unit(StrEnum):
    """The unit that a sundry is counted in."""

    METRE = "m"
    EACH = "each"


class InsertWork(StrEnum):
    """A kind of work on an insert, and what it is counted in."""

    SHEET = "foam sheet"
    EDGE = "foam edge m"
    MARKED_SHEET = "foam marking"
    RECTANGLE = "marked pocket"
    POCKET = "pocket cut m"
    CORNER = "pocket corner"
    SLICE = "slice"
    LONG_SLICE = "long slice"
    FILL = "fill"
    LOOSE = "loose piece"
    ITEM = "item"
    TAPE = "lift tape"
    STACKED = "stacked sheet"
    SAW_CUT = "board cut"


class Side(StrEnum):
    """A side of the box, as it stands in front of one with its length from left to right."""

    BOTTOM = "bottom"
    TOP = "top"
    LEFT = "left"
    RIGHT = "right"
    FRONT = "front"
    BACK = "back"


_VERDICTS_OF_BEFORE: dict[object, str] = {"less than the foam gives under": "under"}
"""Values that plans of before have, and what they are now."""


class FoamVerdict(StrEnum):
    """A pressure against the range that a foam is meant for."""

    WITHIN = "within"
    LIGHT = "under"
    OVER = "over"
    UNKNOWN = "not known"

    @classmethod
    def _missing_(cls, value: object) -> "FoamVerdict | None":
        return cls(_VERDICTS_OF_BEFORE[value]) if value in _VERDICTS_OF_BEFORE else None
