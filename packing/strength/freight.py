"""The freight rule for board: weight and united inches for truck and rail."""

from packing.materials import Board
from packing.plan import Figure, Message, Name
from packing.plan.kinds import Verdict
from packing.strength.check import Check, figure, given
from packing.strength.defaults import FREIGHT_SOURCE, FreightRow
from packing.strength.load import Load


def freight_check(board: Board, load: Load) -> Check:
    """Hold a board against weight and united inches for truck and rail.

    Parameters
    ----------
    board
        Its burst with the weight of its facings, or its edge crush, whichever the sheet has.
    load
        Gross weight; length, width and depth together in inches, outside.

    Returns
    -------
    Check

    References
    ----------
    National Motor Freight Classification, item 222, as trade pages print it; some rows from memory, as each says.
    """
    wall = f"{board.wall} wall, {board.burst_psi or '?'} psi, ECT {board.ect_lb_in or '?'} lb/in"
    inputs = (
        given("gross", figure(load.gross_lb, "lb")),
        given("length, width and depth together", figure(load.united_in, "in")),
        given("board", Name(wall)),
    )
    name, table = "freight item 222", load.tables.freight
    walls = [row for row in table if row.wall == board.wall]
    fitting = [row for row in walls if load.gross_lb <= row.max_lb and load.united_in <= row.max_united_in]
    if not fitting:
        most = max(walls, key=lambda row: row.max_lb, default=None)
        ends = f"{most.max_lb} lb and {most.max_united_in} in" if most else "nothing"
        source = most.source if most else FREIGHT_SOURCE
        return Check(name, inputs, "none", ends, Verdict.FAILS, source, _beyond_freight(board, most))
    # The lowest row that takes weight and size is the one the rule means.
    row = min(fitting, key=lambda one: (one.burst_psi, one.max_lb))
    by_burst = bool(board.burst_psi) and board.burst_psi >= row.burst_psi and board.facings_lb >= row.facings_lb
    by_crush = board.ect_lb_in >= row.ect_lb_in
    limit = f"{row.burst_psi} psi with {row.facings_lb} lb facings, or ECT {row.ect_lb_in} lb/in"
    known = board.burst_psi or board.ect_lb_in
    verdict = Verdict.PASSES if by_burst or by_crush else Verdict.FAILS if known else Verdict.NOT_KNOWN
    return Check(name, inputs, wall, limit, verdict, row.source, _freight_sentence(row))


def _beyond_freight(board: Board, most: FreightRow | None) -> Message:
    if most is None:
        return Message(
            "A {wall} wall goes to nothing at most. The rule is made for truck and rail, not for parcels.",
            wall=board.wall,
        )
    return Message(
        "A {wall} wall goes to {weight} and {size} at most. The rule is made for truck and rail, not for parcels.",
        wall=board.wall,
        weight=Figure(str(most.max_lb), "lb"),
        size=Figure(str(most.max_united_in), "in"),
    )


def _freight_sentence(row: FreightRow) -> Message:
    return Message(
        "Up to {weight} and {size}: {burst} with {facings} facings, or ECT {crush}. The rule is made for truck and "
        "rail, not for parcels.",
        weight=Figure(str(row.max_lb), "lb"),
        size=Figure(str(row.max_united_in), "in"),
        burst=Figure(str(row.burst_psi), "psi"),
        facings=Figure(str(row.facings_lb), "lb"),
        crush=Figure(str(row.ect_lb_in), "lb/in"),
    )
