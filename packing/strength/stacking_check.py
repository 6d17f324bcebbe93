"""The check that the lowest box of a pile carries it: McKee's formula, within the range it is for."""

from decimal import Decimal
from fractions import Fraction

from packing.materials import Board
from packing.plan import Count, Figure, Length, Message, Percent
from packing.plan.kinds import Verdict
from packing.strength.check import Check, figure, given, shown
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


def out_of_range(load: Load) -> Message | None:
    """Say why the formula is not made for a box; None where it is."""
    length, width, depth = load.inner_um
    if not load.slotted:
        return Message("The formula does not judge this box: it is made for slotted cases.")
    if max(length, width) > SIDES_RATIO * min(length, width):
        return Message(
            "The formula does not judge this box: it goes to a length of {ratio} times the width.", ratio=SIDES_RATIO
        )
    if DEPTH_SHARE * depth < 2 * (length + width):
        return Message(
            "The formula does not judge this box: it wants a depth of 1/{share} of the perimeter at least.",
            share=DEPTH_SHARE,
        )
    return None


def stacking_check(board: Board, load: Load) -> Check:
    """Hold a box against the pile of its like on top of it, by McKee's formula with multipliers for time and damp.

    Parameters
    ----------
    board
        Its edge crush and its caliper count.
    load
        Inside and outside of the box, gross weight, height of the pile, days and relative humidity.

    Returns
    -------
    Check
        Outside the formula's range "not judged": what was computed is said, and a board whose computed strength is
        short of the load makes way for a stronger one.

    References
    ----------
    McKee, Gander, Wachuta: "Compression strength formula for corrugated boxes", Paperboard Packaging 48 (8), 1963,
    149-159; constant and range from memory.
    """
    parts = _sources(load)

    def answer(result: str, limit: str, verdict: Verdict, sentence: Message, *, short: bool = False) -> Check:
        return Check("stacking", inputs, result, limit, verdict, _joined(parts), sentence, short, parts)

    perimeter_um = 2 * (load.inner_um[0] + load.inner_um[1])
    inputs = (
        given("ECT", Figure(str(board.ect_lb_in), "lb/in") if board.ect_lb_in else "not known"),
        given("caliper", Length(board.caliper_um)),
        given("inside perimeter", Length(perimeter_um)),
        given("days under load", Count(load.days)),
        given("relative humidity", Percent(Decimal(load.humidity))),
    )
    if load.stack_um is None:
        return answer("", "", Verdict.NOT_APPLICABLE, Message("Nothing is put on top."))
    # The lowest of them carries all the others; a box higher than the pile carries none.
    above = max(0, load.stack_um // load.outer_um[2] - 1)
    weight = load.gross_lb * above
    limit = f"{shown(weight)} lb"
    if not board.ect_lb_in:
        sentence = Message("The edge crush of {board} is not known: measure it or ask the mill.", board=board.name)
        return answer("", limit, Verdict.NOT_KNOWN, sentence)
    strength = mckee_lbf(board.ect_lb_in, board.caliper_um / UM_PER_INCH, perimeter_um / UM_PER_INCH)
    left = derated_lbf(
        strength,
        days=load.days,
        humidity=load.humidity,
        day_rows=load.tables.days,
        humidity_rows=load.tables.humidity,
    )
    # Exactly as strong as the load is enough: no safety factor is hidden in a comparison.
    short = weight > Fraction(left)
    sentence = Message(
        "Computed {new} new and dry, {left} after {days} days at {humidity}; {above} boxes above weigh {weight}. No "
        "safety factor is in it.",
        new=Figure(f"{strength:.1f}", "lbf"),
        left=Figure(f"{left:.1f}", "lbf"),
        days=load.days,
        humidity=Percent(Decimal(load.humidity)),
        above=above,
        weight=figure(weight, "lb"),
    )
    why = out_of_range(load)
    if why is not None:
        sentence = Message("{sentence} {why}", sentence=sentence, why=why)
        return answer(f"{left:.1f} lbf", limit, Verdict.NOT_JUDGED, sentence, short=short)
    return answer(f"{left:.1f} lbf", limit, Verdict.FAILS if short else Verdict.PASSES, sentence)
