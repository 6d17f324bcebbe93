"""Rules for board grades from rows of plain values, and the other way round: one row a line of a table."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

from packing.measure import BadInput
from packing.strength.defaults import (
    DenseRow,
    DensityRow,
    FreightRow,
    GradeRow,
    Multiplier,
    Source,
    Tables,
)
from packing.strength.kinds import TableKind
from packing.sureness import SURENESS, Sureness

Row = Mapping[str, Any]
EMPTY = (None, "")
"""Values of a field in which nothing was written."""
WALLS = ("single", "double", "triple")
"""From weak to strong: rows are sorted so."""
KINDS: dict[TableKind, tuple[str, ...]] = {
    TableKind.POSTAL: ("easy_lb", "weight_lb", "size_in", "burst_psi"),
    TableKind.DENSE: ("weight_lb", "burst_psi"),
    TableKind.DENSITY: ("weight_lb", "limit_lb_ft2"),
    TableKind.FREIGHT: ("wall", "weight_lb", "size_in", "burst_psi", "facings_lb", "ect_lb_in"),
    TableKind.DAYS: ("up_to", "factor"),
    TableKind.HUMIDITY: ("up_to", "factor"),
}
"""Each kind of line and the values it has; `weight_lb` is the weight the line goes to, or begins above."""
FIGURES = tuple(dict.fromkeys(name for names in KINDS.values() for name in names))
FROM = ("source", "year", "sureness")
"""Columns in which every row names its source."""


def _whole(row: Row, name: str, kind: TableKind, *, zero: bool = False) -> int:
    value = row.get(name)
    if isinstance(value, bool) or not isinstance(value, int) or value < (0 if zero else 1):
        least = "zero or more" if zero else "greater than zero"
        raise BadInput(name, f"must be a whole number {least} in a line of “{kind}”, not {_shown(value)}.")
    return value


def _shown(value: Any) -> str:
    return "empty" if value in EMPTY else str(value)


def _kind(row: Row) -> TableKind:
    kind = row.get("kind")
    if kind not in list(TableKind):
        raise BadInput("kind", f"must be one of {', '.join(TableKind)}, not {_shown(kind)}.")
    return TableKind(kind)


def _source(row: Row) -> Source:
    name, year, sureness = (row.get(key, "") for key in FROM)
    if not isinstance(name, str) or not name.strip():
        raise BadInput("source", "must say where the line was read; it is empty.")
    if sureness not in SURENESS:
        raise BadInput("sureness", f"must be one of {', '.join(SURENESS)}, not {_shown(sureness)}.")
    return Source(name, str(year or "undated"), Sureness(sureness))


def _postal(row: Row) -> GradeRow:
    easy, difficult = (
        None if row.get(name) is None else _whole(row, name, TableKind.POSTAL) for name in ("easy_lb", "weight_lb")
    )
    if easy is None and difficult is None:
        raise BadInput("weight_lb", "must be given for easy or for difficult loads; both are empty.")
    size, burst = _whole(row, "size_in", TableKind.POSTAL), _whole(row, "burst_psi", TableKind.POSTAL)
    return GradeRow(easy, difficult, size, burst, _source(row))


def _dense(row: Row) -> DenseRow:
    kind = TableKind.DENSE
    return DenseRow(_whole(row, "weight_lb", kind), _whole(row, "burst_psi", kind), _source(row))


def _density(row: Row) -> DensityRow:
    kind = TableKind.DENSITY
    above = _whole(row, "weight_lb", kind, zero=True)
    return DensityRow(above, _whole(row, "limit_lb_ft2", kind), _source(row))


def _freight(row: Row) -> FreightRow:
    wall = row.get("wall")
    if wall not in WALLS:
        raise BadInput("wall", f"must be one of {', '.join(WALLS)} in a line of “freight”, not {_shown(wall)}.")
    pounds, inches, burst, facings, crush = (
        _whole(row, name, TableKind.FREIGHT) for name in KINDS[TableKind.FREIGHT][1:]
    )
    return FreightRow(str(wall), pounds, inches, burst, facings, crush, _source(row))


def _multiplier(row: Row, kind: TableKind) -> Multiplier:
    value = row.get("factor")
    if isinstance(value, bool) or not isinstance(value, Decimal | Fraction | int) or not 0 < value <= 1:
        raise BadInput("factor", f"must be above 0 and at most 1 in a line of “{kind}”, not {_shown(value)}.")
    up_to = _whole(row, "up_to", kind)
    if kind is TableKind.HUMIDITY and up_to > 100:
        raise BadInput("up_to", f"must be at most 100 % in a line of “humidity”, not {up_to}.")
    return Multiplier(up_to, Fraction(value), _source(row))


def read_grade_line(row: Row) -> GradeRow | DenseRow | DensityRow | FreightRow | Multiplier:
    """One line of a table.

    Parameters
    ----------
    row
        `kind`, one of `KINDS`, the values that kind has, whole numbers but for `factor` (Decimal), and `source`,
        `year`, `sureness`. Other values must be None or empty.

    Returns
    -------
    GradeRow, DenseRow, DensityRow, FreightRow or Multiplier

    Raises
    ------
    BadInput
        Naming the field, the rule and the value.
    """
    kind = _kind(row)
    for name in FIGURES:
        value = row.get(name)
        if name not in KINDS[kind] and value not in EMPTY:
            raise BadInput(name, f"must be empty in a line of “{kind}”, not {value}.")
    if kind is TableKind.POSTAL:
        return _postal(row)
    if kind is TableKind.DENSE:
        return _dense(row)
    if kind is TableKind.DENSITY:
        return _density(row)
    return _freight(row) if kind is TableKind.FREIGHT else _multiplier(row, kind)


def _refuse_twice(lines: Sequence[Any], kind: TableKind, key: Sequence[str]) -> None:
    seen = set()
    for line in lines:
        place = tuple(getattr(line, name) for name in key)
        if place in seen:
            shown = ", ".join(str(value) for value in place)
            raise BadInput(kind, f"must not have two lines for {shown}.")
        seen.add(place)


def _refuse_rising(lines: Sequence[Multiplier], kind: TableKind) -> None:
    ordered = sorted(lines, key=lambda one: one.up_to)
    for before, after in pairwise(ordered):
        if after.factor > before.factor:
            raise BadInput(
                kind,
                f"must not leave more strength further on: up to {before.up_to} leaves {float(before.factor):g}, "
                f"up to {after.up_to} leaves {float(after.factor):g}.",
            )


def _sorted(lines: Sequence[Any], key: Callable[[Any], Any]) -> tuple[Any, ...]:
    return tuple(sorted(lines, key=key))


def read_tables(rows: Iterable[Row]) -> Tables:
    """The tables that checks go by, from rows of all kinds.

    Parameters
    ----------
    rows
        As for `read_grade_line`, in any order. A kind without a row keeps the published lines.

    Returns
    -------
    Tables

    Raises
    ------
    BadInput
        A bad line; two lines for one place; a multiplier that rises with days or humidity; more than one line of
        "high density".
    """
    kept: dict[TableKind, list[Any]] = {kind: [] for kind in KINDS}
    for row in rows:
        line = read_grade_line(row)
        kept[_kind(row)].append(line)
    usual = Tables()
    _refuse_twice(kept[TableKind.POSTAL], TableKind.POSTAL, ("burst_psi",))
    _refuse_twice(kept[TableKind.DENSE], TableKind.DENSE, ("up_to_lb",))
    _refuse_twice(kept[TableKind.FREIGHT], TableKind.FREIGHT, ("wall", "burst_psi", "max_lb"))
    for kind in (TableKind.DAYS, TableKind.HUMIDITY):
        _refuse_twice(kept[kind], kind, ("up_to",))
        _refuse_rising(kept[kind], kind)
    if len(kept[TableKind.DENSITY]) > 1:
        raise BadInput(TableKind.DENSITY.value, f"must have one line, not {len(kept[TableKind.DENSITY])}.")
    return Tables(
        postal=_sorted(kept[TableKind.POSTAL], lambda one: one.burst_psi) or usual.postal,
        dense=_sorted(kept[TableKind.DENSE], lambda one: one.up_to_lb) or usual.dense,
        density=kept[TableKind.DENSITY][0] if kept[TableKind.DENSITY] else usual.density,
        freight=_sorted(kept[TableKind.FREIGHT], lambda one: (WALLS.index(one.wall), one.burst_psi)) or usual.freight,
        days=_sorted(kept[TableKind.DAYS], lambda one: one.up_to) or usual.days,
        humidity=_sorted(kept[TableKind.HUMIDITY], lambda one: one.up_to) or usual.humidity,
    )
