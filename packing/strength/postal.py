"""The post's rules for board: the box-grade table, dense contents, high density."""

from collections.abc import Sequence
from fractions import Fraction

from packing.materials import Board
from packing.measure import BadInput
from packing.plan import Figure, InputPlan, Message
from packing.plan.kinds import Verdict
from packing.strength.check import Check, figure, given, shown
from packing.strength.defaults import GradeRow
from packing.strength.load import Load


def _postal_row(
    gross_lb: Fraction | float, length_girth_in: Fraction | float, difficult: bool, table: Sequence[GradeRow]
) -> GradeRow | None:
    """The weakest line that allows a weight and size; None where the table ends below."""
    # From the weakest grade up: the first that allows the load is the least that is asked.
    for row in sorted(table, key=lambda one: one.burst_psi):
        most = row.difficult_lb if difficult else row.easy_lb
        if most is not None and gross_lb <= most and length_girth_in <= row.max_length_girth_in:
            return row
    return None


def _graded(board: Board) -> InputPlan:
    return given("board's grade", Figure(str(board.burst_psi), "psi") if board.burst_psi else "burst not known")


def _burst(board: Board) -> str:
    return f"{board.burst_psi} psi" if board.burst_psi else "burst not known"


def _by_burst(board: Board, least_psi: int) -> Verdict:
    if board.burst_psi >= least_psi:
        return Verdict.PASSES
    return Verdict.FAILS if board.burst_psi else Verdict.NOT_KNOWN


def postal_check(board: Board, load: Load) -> Check:
    """Hold a board against the postal box-grade table, in the column for difficult loads where the load is one.

    Parameters
    ----------
    board
        Its burst grade in psi counts.
    load
        Gross weight, length and girth of the closed box.

    Returns
    -------
    Check
        Fails where the table ends below the load; not known where the board's burst is not.

    References
    ----------
    USPS Publication 2, "Packaging for Mailing", exhibit 2-3.1.3.
    """
    table = load.tables.postal
    row = _postal_row(load.gross_lb, load.length_girth_in, load.difficult, table)
    column = "difficult load" if load.difficult else "easy or average load"
    gross, girth = figure(load.gross_lb, "lb"), figure(load.length_girth_in, "in")
    inputs = (given("gross", gross), given("length and girth", girth), given("column", column), _graded(board))
    if row is None:
        top = max(table, key=lambda one: one.burst_psi)
        most = top.difficult_lb if load.difficult else max(one.easy_lb or 0 for one in table)
        sentence = Message(
            "The table ends at {most} and {size} of length and girth: {gross}, {girth} are beyond it.",
            most=Figure(str(most or 0), "lb"),
            size=Figure(str(top.max_length_girth_in), "in"),
            gross=gross,
            girth=girth,
        )
        return Check("postal box grade", inputs, "none", "none", Verdict.FAILS, top.source, sentence)
    grade = row.burst_psi
    has = f"{board.burst_psi} psi" if board.burst_psi else "no known burst"
    sentence = Message(
        "{gross}, {column}: board of {grade} burst; {board} has {has}."
        if board.burst_psi
        else "{gross}, {column}: board of {grade} burst; {board} has no known burst.",
        gross=gross,
        column=Message(column),
        grade=Figure(str(grade), "psi"),
        board=board.name,
        **({"has": Figure(str(board.burst_psi), "psi")} if board.burst_psi else {}),
    )
    return Check("postal box grade", inputs, has, f"{grade} psi", _by_burst(board, grade), row.source, sentence)


def density_lb_ft2(contents_lb: Fraction, smallest_side_ft2: Fraction) -> Fraction:
    """Pressure of the contents on the smallest side.

    Parameters
    ----------
    contents_lb
        Weight of the contents in pounds.
    smallest_side_ft2
        Area in square feet, greater than 0.

    Returns
    -------
    Fraction
        Pounds on a square foot, exact.

    Raises
    ------
    BadInput
        The side is not greater than zero.
    """
    if smallest_side_ft2 <= 0:
        raise BadInput("smallest side", "must be greater than zero.")
    return contents_lb / smallest_side_ft2


def density_check(board: Board, load: Load) -> Check:
    """Hold a box against the rule for high density: above 15 lb at most 60 lb on a square foot of the smallest side.

    Parameters
    ----------
    board
        Of no account: the rule limits the plan, not the board.
    load
        Weight of the contents; outside of the closed box.

    Returns
    -------
    Check

    References
    ----------
    USPS Publication 2, "Packaging for Mailing", section 6-3.
    """
    rule = load.tables.density
    contents = load.contents_lb
    pressure = density_lb_ft2(contents, load.smallest_side_ft2)
    inputs = (
        given("contents", figure(contents, "lb")),
        given("smallest side", figure(load.smallest_side_ft2, "ft²", 2)),
    )
    if contents <= rule.above_lb:
        verdict = Verdict.NOT_APPLICABLE
        sentence = Message(
            "Up to {weight} the smallest side may be of any size.", weight=Figure(str(rule.above_lb), "lb")
        )
    else:
        over = pressure > rule.limit_lb_ft2
        verdict = Verdict.FAILS if over else Verdict.PASSES
        sentence = Message(
            "{pressure} on a square foot of the smallest side, at most {limit}.",
            pressure=figure(pressure, "lb"),
            limit=Figure(str(rule.limit_lb_ft2)),
        )
        if over:
            sentence = Message(
                "{sentence} It must have {area}: a larger box, by wider walls or a larger carton, or two parcels.",
                sentence=sentence,
                area=figure(contents / rule.limit_lb_ft2, "ft²", 2),
            )
    result, limit = f"{shown(pressure)} lb/ft²", f"{rule.limit_lb_ft2} lb/ft²"
    return Check("high density", inputs, result, limit, verdict, rule.source, sentence)


def dense_grade_check(board: Board, load: Load) -> Check:
    """Hold a board against the least burst for dense contents such as tools.

    Parameters
    ----------
    board
        Its burst grade in psi counts.
    load
        Gross weight of the closed box; whether it is a difficult load.

    Returns
    -------
    Check
        Not applicable where the load is not difficult; fails beyond the table's last weight.

    References
    ----------
    USPS Publication 2, "Packaging for Mailing", section 6-3.
    """
    gross = figure(load.gross_lb, "lb")
    inputs = (given("gross", gross), _graded(board))
    name, table = "board for dense contents", sorted(load.tables.dense, key=lambda one: one.up_to_lb)
    if not load.difficult:
        sentence = Message("The contents are not dense.")
        return Check(name, inputs, "", "", Verdict.NOT_APPLICABLE, table[-1].source, sentence)
    for row in table:
        if load.gross_lb <= row.up_to_lb:
            sentence = Message(
                "Tools up to {weight}: board of at least {burst} burst.",
                weight=Figure(str(row.up_to_lb), "lb"),
                burst=Figure(str(row.burst_psi), "psi"),
            )
            verdict = _by_burst(board, row.burst_psi)
            return Check(name, inputs, _burst(board), f"{row.burst_psi} psi", verdict, row.source, sentence)
    sentence = Message(
        "{gross} are more than the {most} the rule goes to.", gross=gross, most=Figure(str(table[-1].up_to_lb), "lb")
    )
    return Check(name, inputs, _burst(board), "none", Verdict.FAILS, table[-1].source, sentence)
