"""The choice of a stock carton for an insert, as bought or cut down in height, and of what fills the rest of it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from packing.materials import Board, Carton, Foam
from packing.messages import Length, Message, Series, Sides

CUT_DOWN_OVER_UM = 20_000
"""A carton higher than needed by more than this is creased lower."""
ROOM_UM = 2_000
"""Left between foam and board when a carton is cut down or its insert cut larger (common practice, no source)."""
PRESSED_UM = 3_000
"""Height over the insert that the top pad and the lid take up without more foam (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class CartonChoice:
    """A stock carton that takes the insert.

    Parameters
    ----------
    carton
        As bought.
    inner_um, outer_um
        As used, length not less than width: after cutting down.
    cut_down_um
        How much lower its upper creases are than as bought; 0 as bought.
    turned
        The carton is listed with its width first, so the insert goes in turned by a quarter.
    sheet_um
        Length and width to cut the insert's sheets to.
    top_sheet_um
        Thickness of one more sheet on top; 0 for none.
    insert_um3
        Volume of the insert as planned.
    fill_mg
        Foam that the insert does not have by itself.
    padded
        Whether a pad of its own board lies under the insert.
    fill
        Sentences saying what fills the carton.
    notes
        What to do to it.
    """

    carton: Carton
    inner_um: tuple[int, int, int]
    outer_um: tuple[int, int, int]
    cut_down_um: int
    turned: bool
    sheet_um: tuple[int, int]
    top_sheet_um: int
    insert_um3: int
    fill_mg: int
    padded: bool
    fill: tuple[Message, ...]
    notes: tuple[Message, ...]

    @property
    def volume_um3(self) -> int:
        """Inside volume as used."""
        return self.inner_um[0] * self.inner_um[1] * self.inner_um[2]


@dataclass(frozen=True, slots=True)
class NoCarton:
    """No stock carton takes the insert; a sentence says why."""

    reason: Message


FILLED = Message("The insert fills it.")


def _fill(
    interior_um: tuple[int, int, int], inner_um: tuple[int, int, int]
) -> tuple[tuple[int, int], int, tuple[Message, ...]]:
    """Sheet size, thickness of a sheet on top, and the sentences for both."""
    length, width, height = interior_um
    sheet = tuple(
        inside - ROOM_UM if inside - need > ROOM_UM else need
        for inside, need in zip(inner_um[:2], (length, width), strict=True)
    )
    over = inner_um[2] - height
    top = over if over > PRESSED_UM else 0
    sentences = []
    if sheet != (length, width):
        sentences.append(
            Message(
                "Cut every sheet {size} instead of {planned}, the pockets where they are, or fill the sides with foam "
                "waste.",
                size=Sides(sheet),
                planned=Sides((length, width)),
            )
        )
    if top:
        sentences.append(Message("Lay one more foam sheet of {thickness} on top.", thickness=Length(top)))
    return (sheet[0], sheet[1]), top, tuple(sentences) or (FILLED,)


def _outer(inner_um: tuple[int, int, int], board: Board) -> tuple[int, int, int]:
    """Outside of a closed 0201: one caliper a side, two layers of flaps at the bottom and two at the top."""
    t = board.caliper_um
    return inner_um[0] + 2 * t, inner_um[1] + 2 * t, inner_um[2] + 4 * t


def _inside(carton: Carton) -> tuple[int, int, int]:
    """Inside as bought, length not less than width."""
    bought = carton.inner_um
    return max(bought[:2]), min(bought[:2]), bought[2]


def _used(carton: Carton, interior_um: tuple[int, int, int], foam: Foam, padded: bool) -> CartonChoice | None:
    inner = _inside(carton)
    if any(inside < need for inside, need in zip(inner, interior_um, strict=True)):
        return None
    cut_down = inner[2] - interior_um[2] - ROOM_UM if inner[2] - interior_um[2] > CUT_DOWN_OVER_UM else 0
    used = (inner[0], inner[1], inner[2] - cut_down)
    sheet, top, fill = _fill(interior_um, used)
    more = (sheet[0] * sheet[1] - interior_um[0] * interior_um[1]) * interior_um[2] + sheet[0] * sheet[1] * top
    notes = []
    if cut_down:
        notes.append(
            Message(
                "Crease the upper flaps {by} lower, cut the corners down to the new crease and trim {by} off the "
                "flaps.",
                by=Length(cut_down),
            )
        )
    turned = carton.inner_um[0] < carton.inner_um[1]
    if turned:
        notes.append(Message("The insert goes in turned by a quarter: this carton's list has its width first."))
    return CartonChoice(
        carton=carton,
        inner_um=used,
        outer_um=_outer(used, carton.board),
        cut_down_um=cut_down,
        turned=turned,
        sheet_um=sheet,
        top_sheet_um=top,
        insert_um3=interior_um[0] * interior_um[1] * interior_um[2],
        fill_mg=foam.weight_mg(more),
        padded=padded,
        fill=fill,
        notes=tuple(notes),
    )


_LACKS = ("{by} too short", "{by} too narrow", "{by} too low")


def _why_none(
    interior_um: tuple[int, int, int], cartons: Sequence[Carton], need: Callable[[Carton], tuple[int, int, int]]
) -> Message:
    if not cartons:
        return Message("There are no stock cartons to choose from.")

    def short(carton: Carton) -> list[int]:
        return [max(0, want - inside) for want, inside in zip(need(carton), _inside(carton), strict=True)]

    nearest = min(cartons, key=lambda carton: (sum(short(carton)), carton.name))
    lacks = tuple(Message(template, by=Length(by)) for by, template in zip(short(nearest), _LACKS, strict=True) if by)
    return Message(
        "No stock carton takes an insert of {size}; the nearest, {name}, is {lacks}.",
        size=Sides(max((need(carton) for carton in cartons), default=interior_um)),
        name=nearest.name,
        lacks=Series(lacks, " and "),
    )


def choose_carton(
    interior_um: tuple[int, int, int],
    cartons: Sequence[Carton],
    foam: Foam,
    *,
    padded: Callable[[Carton], bool] = lambda _carton: False,
) -> CartonChoice | NoCarton:
    """The stock carton of the smallest inside volume, as used, that takes an insert.

    Parameters
    ----------
    interior_um
        Length, width and height of the insert; length and width in any order.
    cartons
        What the shop has; `EXAMPLE_CARTONS` to try.
    foam
        The insert's, for what fills the rest.
    padded
        Whether a pad of the carton's own board lies under the insert, by the gap of that carton's own flaps.

    Returns
    -------
    CartonChoice or NoCarton
        Among equal volumes the carton that was smaller as bought, then the first by name.

    Notes
    -----
    The insert stays upright and is turned on its base alone. It may fit without play, foam gives. A carton more than
    `CUT_DOWN_OVER_UM` too high is creased lower: its blank loses that height over its whole length, so flaps stay as
    long as they were. What is left is filled with foam, weighed here.
    """

    def need(carton: Carton) -> tuple[int, int, int]:
        length, width, height = interior_um
        return max(length, width), min(length, width), height + carton.board.caliper_um * padded(carton)

    fitting = [used for carton in cartons if (used := _used(carton, need(carton), foam, padded(carton)))]
    if not fitting:
        return NoCarton(_why_none(interior_um, cartons, need))

    def key(used: CartonChoice) -> tuple[int, int, str]:
        length, width, height = used.carton.inner_um
        return used.volume_um3, length * width * height, used.carton.name

    # The smallest as used, then as bought, then by name: the same carton on any machine.
    return min(fitting, key=key)
