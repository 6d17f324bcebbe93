"""Board grade by published rule: each check shows its inputs, result, limit, verdict, source, year and sureness."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from packing.materials import Board
from packing.measure import BadInput
from packing.strength.check import Check, shown
from packing.strength.defaults import FREIGHT_SOURCE, GradeRow
from packing.strength.load import Load
from packing.strength.stacking_check import stacking_check


def _postal_row(
    gross_lb: Fraction | float, length_girth_in: Fraction | float, difficult: bool, table: Sequence[GradeRow]
) -> GradeRow | None:
    """The weakest line that allows a weight and size; None where the table ends below."""
    for row in sorted(table, key=lambda one: one.burst_psi):
        most = row.difficult_lb if difficult else row.easy_lb
        if most is not None and gross_lb <= most and length_girth_in <= row.max_length_girth_in:
            return row
    return None


def _graded(board: Board) -> tuple[str, str]:
    return "board's grade", f"{board.burst_psi} psi" if board.burst_psi else "burst not known"


def postal_check(board: Board, load: Load) -> Check:
    """The postal box-grade table, column for difficult loads where the load is one."""
    table = load.tables.postal
    row = _postal_row(load.gross_lb, load.length_girth_in, load.difficult, table)
    column = "difficult load" if load.difficult else "easy or average load"
    inputs = (
        ("gross", f"{shown(load.gross_lb)} lb"),
        ("length and girth", f"{shown(load.length_girth_in)} in"),
        ("column", column),
        _graded(board),
    )
    if row is None:
        top = max(table, key=lambda one: one.burst_psi)
        most = top.difficult_lb if load.difficult else max(one.easy_lb or 0 for one in table)
        sentence = (
            f"The table ends at {most or 0} lb and {top.max_length_girth_in} in of length and girth: "
            f"{shown(load.gross_lb)} lb, {shown(load.length_girth_in)} in are beyond it."
        )
        return Check("postal box grade", inputs, "none", "none", "fails", top.source, sentence)
    grade = row.burst_psi
    verdict = "passes" if board.burst_psi >= grade else "fails" if board.burst_psi else "not known"
    has = f"{board.burst_psi} psi" if board.burst_psi else "no known burst"
    return Check(
        "postal box grade",
        inputs,
        has,
        f"{grade} psi",
        verdict,
        row.source,
        f"{shown(load.gross_lb)} lb, {column}: board of {grade} psi burst; {board.name} has {has}.",
    )


def density_lb_ft2(contents_lb: Fraction, smallest_side_ft2: Fraction) -> Fraction:
    """Pressure of the contents on the smallest side in pounds for a square foot.

    Raises
    ------
    BadInput
        The side is not greater than zero.
    """
    if smallest_side_ft2 <= 0:
        raise BadInput("smallest side", "must be greater than zero.")
    return contents_lb / smallest_side_ft2


def density_check(board: Board, load: Load) -> Check:
    """High density: above 15 lb at most 60 lb on a square foot of the smallest side; limits the plan, not the board."""
    rule = load.tables.density
    contents = load.contents_lb
    pressure = density_lb_ft2(contents, load.smallest_side_ft2)
    inputs = (
        ("contents", f"{shown(contents)} lb"),
        ("smallest side", f"{shown(load.smallest_side_ft2, 2)} ft²"),
    )
    limit = f"{rule.limit_lb_ft2} lb/ft²"
    if contents <= rule.above_lb:
        verdict, sentence = "not applicable", f"Up to {rule.above_lb} lb the smallest side may be of any size."
    else:
        over = pressure > rule.limit_lb_ft2
        verdict = "fails" if over else "passes"
        sentence = f"{shown(pressure)} lb on a square foot of the smallest side, at most {rule.limit_lb_ft2}."
        if over:
            need = contents / rule.limit_lb_ft2
            sentence += (
                f" It must have {shown(need, 2)} ft²: a larger box, by wider walls or a larger carton, or two parcels."
            )
    return Check("high density", inputs, f"{shown(pressure)} lb/ft²", limit, verdict, rule.source, sentence)


def dense_grade_check(board: Board, load: Load) -> Check:
    """Least burst for dense contents such as tools."""
    inputs = (("gross", f"{shown(load.gross_lb)} lb"), _graded(board))
    name, table = "board for dense contents", sorted(load.tables.dense, key=lambda one: one.up_to_lb)
    if not load.difficult:
        return Check(name, inputs, "", "", "not applicable", table[-1].source, "The contents are not dense.")
    for row in table:
        if load.gross_lb <= row.up_to_lb:
            verdict = "passes" if board.burst_psi >= row.burst_psi else "fails" if board.burst_psi else "not known"
            sentence = f"Tools up to {row.up_to_lb} lb: board of at least {row.burst_psi} psi burst."
            return Check(name, inputs, _graded(board)[1], f"{row.burst_psi} psi", verdict, row.source, sentence)
    sentence = f"{shown(load.gross_lb)} lb are more than the {table[-1].up_to_lb} lb the rule goes to."
    return Check(name, inputs, _graded(board)[1], "none", "fails", table[-1].source, sentence)


NOT_FOR_PARCELS = "The rule is made for truck and rail, not for parcels."


def freight_check(board: Board, load: Load) -> Check:
    """Weight and united inches for truck and rail: burst with facings, or edge crush, whichever the sheet has."""
    inputs = (
        ("gross", f"{shown(load.gross_lb)} lb"),
        ("length, width and depth together", f"{shown(load.united_in)} in"),
        ("board", f"{board.wall} wall, {board.burst_psi or '?'} psi, ECT {board.ect_lb_in or '?'} lb/in"),
    )
    name, table = "freight item 222", load.tables.freight
    fitting = [
        row
        for row in table
        if row.wall == board.wall and load.gross_lb <= row.max_lb and load.united_in <= row.max_united_in
    ]
    if not fitting:
        walls = [row for row in table if row.wall == board.wall]
        most = max(walls, key=lambda row: row.max_lb, default=None)
        ends = f"{most.max_lb} lb and {most.max_united_in} in" if most else "nothing"
        source = most.source if most else FREIGHT_SOURCE
        sentence = f"A {board.wall} wall goes to {ends} at most. {NOT_FOR_PARCELS}"
        return Check(name, inputs, "none", ends, "fails", source, sentence)
    row = min(fitting, key=lambda one: (one.burst_psi, one.max_lb))
    by_burst = bool(board.burst_psi) and board.burst_psi >= row.burst_psi and board.facings_lb >= row.facings_lb
    by_crush = board.ect_lb_in >= row.ect_lb_in
    limit = f"{row.burst_psi} psi with {row.facings_lb} lb facings, or ECT {row.ect_lb_in} lb/in"
    known = board.burst_psi or board.ect_lb_in
    verdict = "passes" if by_burst or by_crush else "fails" if known else "not known"
    return Check(
        name,
        inputs,
        inputs[2][1],
        limit,
        verdict,
        row.source,
        f"Up to {row.max_lb} lb and {row.max_united_in} in: {limit}. {NOT_FOR_PARCELS}",
    )


Rule = Callable[[Board, Load], Check]
RULES: tuple[tuple[str, Rule], ...] = (
    ("postal", postal_check),
    ("dense board", dense_grade_check),
    ("high density", density_check),
    ("freight", freight_check),
    ("stacking", stacking_check),
)
"""Every rule by the name it is chosen with, in the order they are applied."""


@dataclass(frozen=True, slots=True)
class Graded:
    """A board held against the chosen rules."""

    board: Board
    checks: tuple[Check, ...] = field(default=())

    @property
    def allowed(self) -> bool:
        """Whether every rule passes, or does not apply."""
        return all(check.allows for check in self.checks)


def grade(board: Board, load: Load, chosen: Sequence[str] | None = None) -> Graded:
    """Hold a board against rules.

    Parameters
    ----------
    board, load
        See there.
    chosen
        Names from `RULES`; None for all.

    Returns
    -------
    Graded

    Raises
    ------
    BadInput
        An unknown rule.
    """
    known = dict(RULES)
    for name in chosen or ():
        if name not in known:
            raise BadInput("rules", f"must be among {', '.join(known)}, not {name!r}.")
    wanted = known if chosen is None else {name: known[name] for name in known if name in chosen}
    return Graded(board, tuple(rule(board, load) for rule in wanted.values()))


def check_content(check: Check) -> dict[str, Any]:
    """A check as plain JSON."""
    return {
        "rule": check.rule,
        "inputs": [{"name": name, "value": value} for name, value in check.inputs],
        "result": check.result,
        "limit": check.limit,
        "verdict": check.verdict,
        "sentence": check.sentence,
        "source": check.source.name,
        "year": check.source.year,
        "sureness": check.source.sureness,
        "marks": [{"source": one.name, "year": one.year, "sureness": one.sureness} for one in check.marks],
    }
