"""Whether the lowest box of a pile carries it: compression by McKee's formula, within the range the formula is for."""

from fractions import Fraction

from packing.materials import Board
from packing.strength.check import Check, shown
from packing.strength.defaults import Source
from packing.strength.load import Load
from packing.strength.stacking import (
    DEPTH_SHARE,
    FORMULA,
    RANGE,
    SIDES_RATIO,
    UM_PER_INCH,
    derated_lbf,
    mckee_lbf,
    multiplier,
)
from packing.sureness import least_sure

NO_FACTOR = "No safety factor is in it."


def _sources(load: Load) -> tuple[Source, ...]:
    """Of the formula, of the multipliers that count for this load, and of the formula's range."""
    tables = load.tables
    days = multiplier(tables.days, load.days, "days").source
    humidity = multiplier(tables.humidity, load.humidity, "humidity").source
    return tuple(dict.fromkeys((FORMULA, days, humidity, RANGE)))


def _joined(parts: tuple[Source, ...]) -> Source:
    """All of them as one; the least sure decides how sure it is."""
    return Source(
        "; ".join(f"{part.name} ({part.sureness})" for part in parts),
        "; ".join(dict.fromkeys(part.year for part in parts)),
        least_sure(part.sureness for part in parts),
    )


def out_of_range(load: Load) -> str:
    """Why the formula is not made for a box, as the end of a sentence; "" where it is."""
    length, width, depth = load.inner_um
    if not load.slotted:
        return "it is made for slotted cases"
    if max(length, width) > SIDES_RATIO * min(length, width):
        return f"it goes to a length of {SIDES_RATIO} times the width"
    if DEPTH_SHARE * depth < 2 * (length + width):
        return f"it wants a depth of a {_PARTS.get(DEPTH_SHARE, f'1/{DEPTH_SHARE}')} of the perimeter at least"
    return ""


_PARTS = {7: "seventh"}


def stacking_check(board: Board, load: Load) -> Check:
    """Whether the bottom box of a pile of its like carries it, by McKee with multipliers for time and damp.

    Outside the formula's range the verdict is "not judged": what was computed is said, and a board whose computed
    strength is short of the load makes way for a stronger one.
    """
    parts = _sources(load)

    def answer(result: str, limit: str, verdict: str, sentence: str, *, short: bool = False) -> Check:
        return Check("stacking", inputs, result, limit, verdict, _joined(parts), sentence, short, parts)

    perimeter_um = 2 * (load.inner_um[0] + load.inner_um[1])
    inputs = (
        ("ECT", f"{board.ect_lb_in} lb/in" if board.ect_lb_in else "not known"),
        ("caliper", f"{board.caliper_um / 1000:g} mm"),
        ("inside perimeter", f"{perimeter_um / 1000:g} mm"),
        ("days under load", str(load.days)),
        ("relative humidity", f"{load.humidity} %"),
    )
    if load.stack_um is None:
        return answer("", "", "not applicable", "Nothing is put on top.")
    above = max(0, load.stack_um // load.outer_um[2] - 1)
    weight = load.gross_lb * above
    limit = f"{shown(weight)} lb"
    if not board.ect_lb_in:
        sentence = f"The edge crush of {board.name} is not known: measure it or ask the mill."
        return answer("", limit, "not known", sentence)
    strength = mckee_lbf(board.ect_lb_in, board.caliper_um / UM_PER_INCH, perimeter_um / UM_PER_INCH)
    left = derated_lbf(
        strength,
        days=load.days,
        humidity=load.humidity,
        day_rows=load.tables.days,
        humidity_rows=load.tables.humidity,
    )
    short = weight > Fraction(left)
    sentence = (
        f"Computed {strength:.1f} lbf new and dry, {left:.1f} lbf after {load.days} days at {load.humidity} %; "
        f"{above} boxes above weigh {shown(weight)} lb. {NO_FACTOR}"
    )
    why = out_of_range(load)
    if why:
        sentence += f" The formula does not judge this box: {why}."
        return answer(f"{left:.1f} lbf", limit, "not judged", sentence, short=short)
    return answer(f"{left:.1f} lbf", limit, "fails" if short else "passes", sentence)
