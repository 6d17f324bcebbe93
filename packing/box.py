"""The regular slotted case, style 0201: one blank of four panels, eight flaps and a joint."""

from dataclasses import dataclass
from typing import Any

from packing.material import Board, grams_shown
from packing.measure import BadInput, mm

FIT_UM = (2_000, 2_000, 2_000)
"""Inside over the insert, each way: 2 to 3 mm (common practice, no source)."""
SLOT_OVER_CALIPER_UM = 3_000
"""A slot is this much wider than the board is thick (common practice, no source)."""

Point = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Area:
    """A named rectangle of the blank: least and greatest corner in micrometres."""

    name: str
    low: Point
    high: Point


@dataclass(frozen=True, slots=True)
class Blank:
    """The flat sheet a case folds from.

    Parameters
    ----------
    size_um
        Across the flutes (round the box), then along them (its height and flaps).
    outline
        Corners of the cut-out blank with its slots, counter-clockwise from the joint's lower outer corner.
    creases
        Each from one point to another: four upright ones beside the panels, then the two lines of the flaps.
    slots
        The six slots between flaps.
    panels
        Four panels, then the lower and the upper flap of each.
    joint
        The flap that is glued or stitched inside the last panel.
    """

    size_um: tuple[int, int]
    outline: tuple[Point, ...]
    creases: tuple[tuple[Point, Point], ...]
    slots: tuple[Area, ...]
    panels: tuple[Area, ...]
    joint: Area

    @property
    def area_um2(self) -> int:
        """Of the whole rectangle it is cut from; slots and the joint's corners count as board, which errs heavy."""
        return self.size_um[0] * self.size_um[1]


@dataclass(frozen=True, slots=True)
class Box:
    """A regular slotted case.

    Parameters
    ----------
    style, name
        "0201" and its name in words.
    fit_um
        Room between insert and board, length, width, height.
    inner_um, outer_um
        Length not less than width; outside when closed, two layers of flaps at the bottom and at the top.
    board, blank
        See there.
    flap_gap_um
        Between the inner flaps, at the bottom and at the top.
    weight_mg
        Blank area by grammage, half a milligram up.
    notes
        Sentences for whoever makes or fills it.
    """

    style: str
    name: str
    fit_um: tuple[int, int, int]
    inner_um: tuple[int, int, int]
    outer_um: tuple[int, int, int]
    board: Board
    blank: Blank
    flap_gap_um: int
    weight_mg: int
    notes: tuple[str, ...]


def board_mg(area_um2: int, board: Board) -> int:
    """Weight of an area of board in whole milligrams, half a milligram up."""
    return (2 * area_um2 * board.grammage_mg_m2 + 10**12) // (2 * 10**12)


def outer_of(inner_um: tuple[int, int, int], board: Board) -> tuple[int, int, int]:
    """Outside of a closed 0201: one caliper a side, two layers of flaps at the bottom and two at the top."""
    t = board.caliper_um
    return inner_um[0] + 2 * t, inner_um[1] + 2 * t, inner_um[2] + 4 * t


def _outline(xs: list[int], ys: list[int], half_slot: int) -> tuple[Point, ...]:
    """Corners counter-clockwise: the lower flaps, the last panel's edge, the upper flaps, the joint."""
    low, high, height = ys[1], ys[2], ys[3]
    joint_x, *inner, last = xs
    lower = [(joint_x + half_slot, low), (joint_x + half_slot, 0)]
    for x in inner:
        lower += [(x - half_slot, 0), (x - half_slot, low), (x + half_slot, low), (x + half_slot, 0)]
    lower.append((last, 0))
    upper = [(x, high if y == low else height) for x, y in reversed(lower)]
    return ((0, low), *lower, *upper, (0, high))


def make_blank(inner_um: tuple[int, int, int], board: Board) -> Blank:
    """The blank of a 0201 for an inside size.

    Parameters
    ----------
    inner_um
        Length, width (at the opening) and height inside, length not less than width.
    board
        Its caliper and joint width are used.

    Returns
    -------
    Blank
        Drawn with the outside of the box up: the joint at the left, then length, width, length, width panel.

    Notes
    -----
    With caliper t: panels L + t and B + t from score to score, height panel H + 2 t, flaps (B + t) / 2, from memory of
    makers' tables; measure a sample fold of the board in hand. All four panels are kept full (some makers cut the last
    one half a caliper short). Slots end at the flap creases.
    """
    length, width, height = inner_um
    t = board.caliper_um
    flap = (width + t + 1) // 2
    xs = [board.joint_um]
    for side in (length, width, length, width):
        xs.append(xs[-1] + side + t)
    ys = [0, flap, flap + height + 2 * t, 2 * flap + height + 2 * t]
    half_slot = (t + SLOT_OVER_CALIPER_UM) // 2
    panels, flaps, slots = [], [], []
    for index, name in enumerate(("length 1", "width 1", "length 2", "width 2")):
        left, right = xs[index], xs[index + 1]
        panels.append(Area(name, (left, ys[1]), (right, ys[2])))
        kind = "outer flap" if name.startswith("length") else "inner flap"
        for low, high in ((ys[0], ys[1]), (ys[2], ys[3])):
            flaps.append(Area(kind, (left, low), (right, high)))
            if index:
                slots.append(Area("slot", (left - half_slot, low), (left + half_slot, high)))
    creases = [((x, ys[1]), (x, ys[2])) for x in xs[:-1]] + [((xs[0], y), (xs[-1], y)) for y in ys[1:3]]
    return Blank(
        size_um=(xs[-1], ys[3]),
        outline=_outline(xs, ys, half_slot),
        creases=tuple(creases),
        slots=tuple(slots),
        panels=tuple(panels + flaps),
        joint=Area("joint", (0, ys[1]), (xs[0], ys[2])),
    )


def fold_back(blank: Blank, caliper_um: int) -> tuple[int, int, int]:
    """The inside size that a blank's creases fold to.

    Parameters
    ----------
    blank
        Only its creases are read.
    caliper_um
        Of its board.

    Returns
    -------
    tuple of int
        Length, width and height inside, in micrometres.

    Notes
    -----
    Each fold takes half a caliper from the panel at either side of it, and the two flap folds a whole caliper each from
    the height.
    """
    uprights = sorted(first[0] for first, second in blank.creases if first[0] == second[0])
    levels = sorted(first[1] for first, second in blank.creases if first[1] == second[1])
    return (
        uprights[1] - uprights[0] - caliper_um,
        uprights[2] - uprights[1] - caliper_um,
        levels[1] - levels[0] - 2 * caliper_um,
    )


def case_of(inner_um: tuple[int, int, int], board: Board, *, fit_um: tuple[int, int, int] = (0, 0, 0)) -> Box:
    """The 0201 with this inside size; `slotted_case` adds the room round an insert.

    Parameters
    ----------
    inner_um
        Inside, each greater than 0: the longer of the first two is the length.
    board
        See `slotted_case`.
    fit_um
        Room already in the inside, for the record.

    Returns
    -------
    Box

    Raises
    ------
    BadInput
        A size is not greater than zero.
    """
    if min(inner_um) <= 0:
        raise BadInput("inner", f"must be greater than zero each way, not {[mm(v) for v in inner_um]} mm.")
    length, width = max(inner_um[:2]), min(inner_um[:2])
    inner = (length, width, inner_um[2])
    blank = make_blank(inner, board)
    gap = length - width
    notes = []
    if gap:
        notes.append(
            f"The inner flaps stay {mm(gap)} mm apart: the middle of bottom and lid is one layer of board. "
            "Lay a board pad under the insert for dense tools (common practice, no source)."
        )
    return Box(
        style="0201",
        name="regular slotted case",
        fit_um=fit_um,
        inner_um=inner,
        outer_um=outer_of(inner, board),
        board=board,
        blank=blank,
        flap_gap_um=gap,
        weight_mg=board_mg(blank.area_um2, board),
        notes=tuple(notes),
    )


def slotted_case(interior_um: tuple[int, int, int], board: Board, fit_um: tuple[int, int, int] = FIT_UM) -> Box:
    """A regular slotted case round an insert.

    Parameters
    ----------
    interior_um
        Length, width and height of the insert; length and width in any order.
    board
        What it is made of.
    fit_um
        Room added to length, width and height, 0 or more.

    Returns
    -------
    Box
        Inside, outside, blank and weight.

    Raises
    ------
    BadInput
        Where a size is not greater than zero or a fit is negative.

    Notes
    -----
    Outside is inside plus two calipers in length and width and four in height, from memory of makers' tables. A filled,
    taped box grows by 3 to 6 mm: measure it after closing.
    """
    if min(fit_um) < 0:
        raise BadInput("fit", f"must be zero or more each way, not {[mm(v) for v in fit_um]} mm.")
    length, width = max(interior_um[:2]), min(interior_um[:2])
    inner = (length + fit_um[0], width + fit_um[1], interior_um[2] + fit_um[2])
    return case_of(inner, board, fit_um=fit_um)


def _point(point: Point) -> list[int | float]:
    return [mm(point[0]), mm(point[1])]


def board_content(board: Board) -> dict[str, Any]:
    """A board as the plan's content."""
    return {
        "name": board.name,
        "flute": board.flute,
        "caliper_mm": mm(board.caliper_um),
        "grammage_g_m2": mm(board.grammage_mg_m2),
        "grade": board.grade,
        "source": board.source,
    }


def blank_content(blank: Blank, flap_gap_um: int) -> dict[str, Any]:
    """A blank as the plan's content, lengths in mm."""
    return {
        "size_mm": _point(blank.size_um),
        "outline_mm": [_point(point) for point in blank.outline],
        "creases": [{"from": _point(first), "to": _point(second)} for first, second in blank.creases],
        "slots": [{"min_mm": _point(slot.low), "max_mm": _point(slot.high)} for slot in blank.slots],
        "panels": [
            {"name": panel.name, "min_mm": _point(panel.low), "max_mm": _point(panel.high)} for panel in blank.panels
        ],
        "joint": {
            "min_mm": _point(blank.joint.low),
            "max_mm": _point(blank.joint.high),
            "width_mm": mm(blank.joint.high[0] - blank.joint.low[0]),
        },
        "flap_gap_mm": mm(flap_gap_um),
    }


def box_content(box: Box) -> dict[str, Any]:
    """The box as the plan's content: lengths in mm, weights in g; see "The plan's content" in DEVELOPERS.md."""
    return {
        "style": box.style,
        "name": box.name,
        "inner_mm": [mm(v) for v in box.inner_um],
        "outer_mm": [mm(v) for v in box.outer_um],
        "weight_g": grams_shown(box.weight_mg),
        "fit_mm": [mm(v) for v in box.fit_um],
        "board": board_content(box.board),
        "blank": blank_content(box.blank, box.flap_gap_um),
        "parts": [
            {
                "id": "X1",
                "what": "blank",
                "material": box.board.name,
                "thickness_mm": mm(box.board.caliper_um),
                "size_mm": _point(box.blank.size_um),
                "count": 1,
                "weight_g": grams_shown(box.weight_mg),
            }
        ],
        "notes": list(box.notes),
    }
