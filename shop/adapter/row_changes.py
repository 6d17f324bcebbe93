"""Changes of the rows that a box was made from, a sentence each."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from packing.planning import Terms
from shop.adapter.snapshot import Figures, KeptGrade, Snapshot, checks_of, rows_in_stock

NAMES = {
    "board": gettext_lazy("Board"),
    "wood": gettext_lazy("Wood"),
    "fastener": gettext_lazy("Hardware"),
    "carton": gettext_lazy("Stock carton"),
}
SECOND = gettext_lazy("Stock carton")
"""The second answer's carton may be gone: the box itself is as it was."""
FIGURES = {
    "flute": gettext_lazy("flute"),
    "wall": gettext_lazy("wall"),
    "grade": gettext_lazy("grade"),
    "caliper_um": gettext_lazy("caliper"),
    "caliper_tolerance_um": gettext_lazy("caliper’s tolerance"),
    "grammage_mg_m2": gettext_lazy("weight of a square metre"),
    "joint_um": gettext_lazy("joint flap"),
    "burst_psi": gettext_lazy("burst in psi"),
    "facings_lb": gettext_lazy("facings in lb"),
    "ect_lb_in": gettext_lazy("edge crush in lb/in"),
    "sheet_um": gettext_lazy("sheet"),
    "cut_by": gettext_lazy("cut by"),
    "panel_um": gettext_lazy("allowance from score to score"),
    "layer_um": gettext_lazy("allowance for a layer of flaps"),
    "thickness_um": gettext_lazy("thickness"),
    "thickness_tolerance_um": gettext_lazy("thickness’s tolerance"),
    "width_um": gettext_lazy("width"),
    "length_um": gettext_lazy("length"),
    "density_g_m3": gettext_lazy("weight of a cubic metre"),
    "processed": gettext_lazy("panel"),
    "diameter_um": gettext_lazy("shank"),
    "each_mg": gettext_lazy("weight of one"),
    "inner_um": gettext_lazy("inner size"),
    "board": gettext_lazy("board"),
}
UNITS = (("_um", "mm"), ("_mg_m2", "g"), ("_g_m3", "kg"), ("_mg", "g"))
ANY_SIZE = gettext_lazy("any size")
"""A board's sheet where the shop has not said how large it is bought."""


def changed_rows(kept: Snapshot, terms: Terms) -> list[str]:
    """Say what has become of the rows a plan was made from.

    Parameters
    ----------
    kept
        As `snapshot` gave it; an empty one for a plan that was stored before plans kept their rows.
    terms
        What the shop makes boxes of now.

    Returns
    -------
    list of str
        A sentence for each row that has changed or is gone; empty where each is as it was. The second answer's carton
        may go: the box is as it was.
    """
    there = rows_in_stock(terms)
    sentences = [
        sentence
        for kind, title in NAMES.items()
        for sentence in _changed(str(title), getattr(kept, kind), getattr(there, kind), may_go=False)
    ]
    sentences += _changed(str(SECOND), kept.second_carton, there.second_carton, may_go=True)
    # The rules are tried on the very same box: where its rows have changed, what they say of it means nothing.
    return sentences or _regraded(kept.grade, terms)


def changed_prices(kept: Snapshot, terms: Terms) -> list[str]:
    """Name each row whose price is another than when its box was taken for what it costs."""
    there = rows_in_stock(terms).prices
    return [
        _("The price of %(name)s has changed.") % {"name": name}
        for kind, prices in kept.prices.items()
        for name, price in prices.items()
        # A row that is gone, or a shop that ranks by money no longer, is told elsewhere.
        if name in there.get(kind, {}) and there[kind][name] != price
    ]


def _changed(title: str, kept: Mapping[str, Figures], there: Mapping[str, Figures], *, may_go: bool) -> list[str]:
    sentences = []
    for name, figures in kept.items():
        now = there.get(name)
        if now is None:
            if not may_go:
                sentences.append(_("%(kind)s “%(name)s” is not in stock any more.") % {"kind": title, "name": name})
        elif now != figures:
            values = {"kind": title, "name": name, "what": _differences(figures, now)}
            sentences.append(_("%(kind)s “%(name)s” has changed: %(what)s.") % values)
    return sentences


def _regraded(kept: KeptGrade | None, terms: Terms) -> list[str]:
    """The rules for board grades that say something else now of the very same box."""
    if kept is None:
        return []
    return [
        _("The rule “%(rule)s” has changed: of %(board)s it says %(result)s, limit %(limit)s, %(verdict)s.")
        % {
            "rule": check.rule,
            "board": kept.board,
            "result": check.result,
            "limit": check.limit,
            "verdict": check.verdict,
        }
        for check in checks_of(kept.board, kept.load, terms)
        if check not in kept.checks
    ]


def _differences(before: Figures, now: Figures) -> str:
    names = [name for name in now.__struct_fields__ if getattr(now, name) != getattr(before, name)]
    return ", ".join(
        _("%(what)s %(now)s, was %(before)s")
        % {
            "what": FIGURES[name],
            "now": _shown(name, getattr(now, name)),
            "before": _shown(name, getattr(before, name)),
        }
        for name in names
    )


def _shown(name: str, value: object) -> str:
    """A figure with its unit, which the end of its name tells."""
    if value is None:
        return str(ANY_SIZE)
    unit = next((unit for ending, unit in UNITS if name.endswith(ending)), "")
    if isinstance(value, tuple):
        return f"{' × '.join(_thousandth(one) for one in value)} {unit}" if unit else ", ".join(map(str, value))
    return f"{_thousandth(value)} {unit}" if unit else str(value)


def _thousandth(value: object) -> str:
    return format((Decimal(str(value)) / 1000).normalize(), "f")
