"""Board grade by published rule: each check shows its inputs, result, limit, verdict, source, year and sureness."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from typing import Any

from packing.material import Board
from packing.measure import BadInput
from packing.strength import rows
from packing.strength.rows import GradeRow, Source, Tables
from packing.strength.stacking import DEPTH_SHARE, UM_PER_INCH, derated_lbf, mckee_lbf
from packing.units import LENGTH_UNITS, WEIGHT_UNITS

MG_PER_LB = Fraction(WEIGHT_UNITS["lb"]) * 1000
UM_PER_FT = Fraction(LENGTH_UNITS["in"]) * 12_000
Size = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Load:
    """What a box has to stand.

    Parameters
    ----------
    gross_mg
        Everything.
    inner_um, outer_um
        Of the box; height last.
    difficult
        Tools of steel are a difficult load: dense, they do not fill the box, they shift.
    stack_um
        How high boxes may be piled; None: nothing is put on top.
    days, humidity
        Time under load, relative humidity in percent.
    contents_mg
        All but the box; None counts the gross weight.
    slotted
        A slotted case, which the stacking formula is made for.
    tables
        The rows to go by.
    """

    gross_mg: int
    inner_um: Size
    outer_um: Size
    difficult: bool = True
    stack_um: int | None = 2_400_000
    days: int = 30
    humidity: int = 70
    contents_mg: int | None = None
    slotted: bool = True
    tables: Tables = field(default_factory=Tables)

    @property
    def contents_lb(self) -> Fraction:
        """Contents in exact pounds; the gross weight where they are not known, which errs safe."""
        return (self.gross_mg if self.contents_mg is None else self.contents_mg) / MG_PER_LB

    @property
    def gross_lb(self) -> Fraction:
        """Exact pounds."""
        return self.gross_mg / MG_PER_LB

    @property
    def length_girth_in(self) -> Fraction:
        """Longest side and twice the others, exact inches."""
        first, second, third = sorted(self.outer_um, reverse=True)
        return Fraction(first + 2 * (second + third), UM_PER_INCH)

    @property
    def united_in(self) -> Fraction:
        """The three outer sides together."""
        return Fraction(sum(self.outer_um), UM_PER_INCH)

    @property
    def smallest_side_ft2(self) -> Fraction:
        """Area of the smallest outer side."""
        first, second = sorted(self.outer_um)[:2]
        return Fraction(first * second) / UM_PER_FT**2


@dataclass(frozen=True, slots=True)
class Check:
    """One rule for one board and load.

    Parameters
    ----------
    rule
        Its name.
    inputs
        What went in, as pairs of name and text.
    result, limit
        What came out and what it is held against, as texts with units.
    verdict
        "passes", "fails", "not applicable", "not known" or "out of range".
    source
        Where the rule was read.
    sentence
        The verdict in words.
    """

    rule: str
    inputs: tuple[tuple[str, str], ...]
    result: str
    limit: str
    verdict: str
    source: Source
    sentence: str

    @property
    def allows(self) -> bool:
        """Whether the rule leaves the board in the running."""
        return self.verdict in ("passes", "not applicable", "out of range")


def shown(value: Fraction | float, places: int = 1) -> str:
    """A number for people, rounded up so that what is over a limit looks it."""
    scaled = ceil(Fraction(value) * 10**places)
    text = f"{scaled / 10**places:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def box_grade(
    gross_lb: Fraction | float,
    length_girth_in: Fraction | float,
    *,
    difficult: bool = True,
    table: Sequence[GradeRow] = rows.POSTAL,
) -> int | None:
    """The postal box grade for a weight and size.

    Parameters
    ----------
    gross_lb, length_girth_in
        Gross weight in pounds; length and girth in inches.
    difficult
        Which column.
    table
        Rows, weak to strong.

    Returns
    -------
    int or None
        Burst in psi; None where the table ends below.
    """
    for row in sorted(table, key=lambda one: one.burst_psi):
        most = row.difficult_lb if difficult else row.easy_lb
        if most is not None and gross_lb <= most and length_girth_in <= row.max_length_girth_in:
            return row.burst_psi
    return None


def _graded(board: Board) -> tuple[str, str]:
    return "board's grade", f"{board.burst_psi} psi" if board.burst_psi else "burst not known"


def postal_check(board: Board, load: Load) -> Check:
    """The postal box-grade table, column for difficult loads where the load is one."""
    table = load.tables.postal
    grade = box_grade(load.gross_lb, load.length_girth_in, difficult=load.difficult, table=table)
    column = "difficult load" if load.difficult else "easy or average load"
    inputs = (
        ("gross", f"{shown(load.gross_lb)} lb"),
        ("length and girth", f"{shown(load.length_girth_in)} in"),
        ("column", column),
        _graded(board),
    )
    if grade is None:
        top = max(table, key=lambda row: row.burst_psi)
        sentence = (
            f"The table ends at {top.difficult_lb} lb and {top.max_length_girth_in} in of length and girth: "
            f"{shown(load.gross_lb)} lb, {shown(load.length_girth_in)} in are beyond it."
        )
        return Check("postal box grade", inputs, "none", "none", "fails", rows.POSTAL_SOURCE, sentence)
    verdict = "passes" if board.burst_psi >= grade else "fails" if board.burst_psi else "not known"
    has = f"{board.burst_psi} psi" if board.burst_psi else "no known burst"
    return Check(
        "postal box grade",
        inputs,
        has,
        f"{grade} psi",
        verdict,
        rows.POSTAL_SOURCE,
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
    contents = load.contents_lb
    pressure = density_lb_ft2(contents, load.smallest_side_ft2)
    inputs = (
        ("contents", f"{shown(contents)} lb"),
        ("smallest side", f"{shown(load.smallest_side_ft2, 2)} ft²"),
    )
    limit = f"{rows.DENSE_LIMIT_LB_FT2} lb/ft²"
    if contents <= rows.DENSE_ABOVE_LB:
        verdict, sentence = "not applicable", f"Up to {rows.DENSE_ABOVE_LB} lb the smallest side may be of any size."
    else:
        over = pressure > rows.DENSE_LIMIT_LB_FT2
        verdict = "fails" if over else "passes"
        sentence = f"{shown(pressure)} lb on a square foot of the smallest side, at most {rows.DENSE_LIMIT_LB_FT2}."
        if over:
            need = contents / rows.DENSE_LIMIT_LB_FT2
            sentence += f" It must have {shown(need, 2)} ft²: plan a larger box or two parcels."
    return Check("high density", inputs, f"{shown(pressure)} lb/ft²", limit, verdict, rows.DENSE_SOURCE, sentence)


def dense_grade_check(board: Board, load: Load) -> Check:
    """Least burst for dense contents such as tools."""
    inputs = (("gross", f"{shown(load.gross_lb)} lb"), _graded(board))
    name, source, table = "board for dense contents", rows.DENSE_SOURCE, load.tables.dense
    if not load.difficult:
        return Check(name, inputs, "", "", "not applicable", source, "The contents are not dense.")
    for row in table:
        if load.gross_lb <= row.up_to_lb:
            verdict = "passes" if board.burst_psi >= row.burst_psi else "fails" if board.burst_psi else "not known"
            sentence = f"Tools up to {row.up_to_lb} lb: board of at least {row.burst_psi} psi burst."
            return Check(name, inputs, _graded(board)[1], f"{row.burst_psi} psi", verdict, source, sentence)
    sentence = f"{shown(load.gross_lb)} lb are more than the {table[-1].up_to_lb} lb the rule goes to."
    return Check(name, inputs, _graded(board)[1], "none", "fails", source, sentence)


def freight_check(board: Board, load: Load) -> Check:
    """Weight and united inches for truck and rail: burst with facings, or edge crush, whichever the sheet has."""
    inputs = (
        ("gross", f"{shown(load.gross_lb)} lb"),
        ("length, width and depth together", f"{shown(load.united_in)} in"),
        ("board", f"{board.wall} wall, {board.burst_psi or '?'} psi, ECT {board.ect_lb_in or '?'} lb/in"),
    )
    name, source, table = "freight item 222", rows.FREIGHT_SOURCE, load.tables.freight
    fitting = [
        row
        for row in table
        if row.wall == board.wall and load.gross_lb <= row.max_lb and load.united_in <= row.max_united_in
    ]
    if not fitting:
        walls = [row for row in table if row.wall == board.wall]
        most = max(walls, key=lambda row: row.max_lb, default=None)
        ends = f"{most.max_lb} lb and {most.max_united_in} in" if most else "nothing"
        sentence = f"A {board.wall} wall goes to {ends} at most."
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
        Source(source.name, source.year, row.sureness),
        f"Up to {row.max_lb} lb and {row.max_united_in} in: {limit}.",
    )


def stacking_check(board: Board, load: Load) -> Check:
    """Whether the bottom box of a pile of its like carries it, by McKee with multipliers for time and damp."""
    name, source = "stacking", rows.STACK_SOURCE
    perimeter_um = 2 * (load.inner_um[0] + load.inner_um[1])
    inputs = (
        ("ECT", f"{board.ect_lb_in} lb/in" if board.ect_lb_in else "not known"),
        ("caliper", f"{board.caliper_um / 1000:g} mm"),
        ("inside perimeter", f"{perimeter_um / 1000:g} mm"),
        ("days under load", str(load.days)),
        ("relative humidity", f"{load.humidity} %"),
    )
    if load.stack_um is None:
        return Check(name, inputs, "", "", "not applicable", source, "Nothing is put on top.")
    above = max(0, load.stack_um // load.outer_um[2] - 1)
    weight = load.gross_lb * above
    if not board.ect_lb_in:
        sentence = f"The edge crush of {board.name} is not known: measure it or ask the mill."
        return Check(name, inputs, "", f"{shown(weight)} lb", "not known", source, sentence)
    strength = mckee_lbf(board.ect_lb_in, board.caliper_um / UM_PER_INCH, perimeter_um / UM_PER_INCH)
    left = derated_lbf(
        strength,
        days=load.days,
        humidity=load.humidity,
        day_rows=load.tables.days,
        humidity_rows=load.tables.humidity,
    )
    sentence = (
        f"{strength:.1f} lbf new and dry, {left:.1f} lbf after {load.days} days at {load.humidity} %; "
        f"{above} boxes above weigh {shown(weight)} lb."
    )
    verdict = "passes" if weight <= Fraction(left) else "fails"
    if not load.slotted:
        verdict = "out of range"
        sentence += " The formula is made for slotted cases: take it as a hint."
    elif DEPTH_SHARE * load.inner_um[2] < perimeter_um:
        verdict = "out of range"
        sentence += " Out of the formula's range: the depth is under a seventh of the perimeter."
    return Check(name, inputs, f"{left:.1f} lbf", f"{shown(weight)} lb", verdict, source, sentence)


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
    }
