"""The shop's rules for board grades as the library takes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from packing import strength
from packing.measure import BadInput
from packing.strength.parse import FIGURES as GRADE_FIGURES
from shop import models
from shop.models import Shop

GRADE_COLUMNS = ("kind", *GRADE_FIGURES, "source", "year", "sureness")
"""Of a rule for board grades, what the library reads; its shop and key are nobody's business there."""


def grade_tables_of(shop: Shop) -> strength.Tables:
    """Read the shop's rules for board grades; the published lines of each kind of which it keeps none.

    Parameters
    ----------
    shop
        Whose rows they are.

    Returns
    -------
    Tables
        As the library judges a board by them.

    Raises
    ------
    BadInput
        A line cannot be used, or lines contradict each other.
    """
    return _tables(grade_line(row) for row in models.GradeRule.objects.filter(shop=shop))


def check_grade_rule(values: Mapping[str, object], others: Iterable[models.GradeRule]) -> None:
    """Check that values can serve as a rule for board grades beside the shop's other ones.

    Parameters
    ----------
    values
        By the names in `GRADE_COLUMNS`; other names are passed over.
    others
        The shop's other rows.

    Raises
    ------
    BadInput
        The values cannot be used, or contradict one of the others.
    """
    line = {name: values.get(name) for name in GRADE_COLUMNS}
    strength.read_grade_line(line)
    _tables([*(grade_line(row) for row in others), line])


def grade_line(row: models.GradeRule) -> dict[str, object]:
    """A row of the shop's as the library reads it."""
    return {name: getattr(row, name) for name in GRADE_COLUMNS}


def _tables(lines: Iterable[Mapping[str, object]]) -> strength.Tables:
    try:
        return strength.read_tables(lines)
    except BadInput as fault:
        raise BadInput("rules for board grades", f"cannot be used: {fault}") from fault
