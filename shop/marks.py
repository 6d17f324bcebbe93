"""Marks of values as people read them: what a figure is for, where it was read, of which year, how sure it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.adapter import SURENESS, ChoicePlan, Message
from shop.adapter.plan_parts import (
    BillPlan,
    BoxPlan,
    ChargePlan,
    CheckPlan,
    FactPlan,
    Plan,
    StockKind,
    SurchargePlan,
    TreatmentPlan,
)

Marked = BillPlan | ChargePlan | CheckPlan | ChoicePlan | Plan | SurchargePlan | TreatmentPlan

HOW_SURE = {
    "primary": gettext_lazy("read in the original"),
    "secondary": gettext_lazy("read on another page"),
    "memory": gettext_lazy("from memory"),
    "practice": gettext_lazy("common practice, no source"),
}


@dataclass(frozen=True, slots=True)
class Mark:
    """One value's mark.

    Parameters
    ----------
    text
        The rule or the value, in the reader's words and units.
    source, year, sureness
        Where it was read, of which year the value is, how sure; "" where that is not known.
    note
        What else is to be known of it.
    """

    text: str
    source: str
    year: str = ""
    sureness: str = ""
    note: str = ""

    @property
    def how_sure(self) -> str:
        """The sureness of the value, in words."""
        return str(HOW_SURE.get(self.sureness, _("not known how sure")))

    @property
    def words(self) -> str:
        """Sureness, places and years, each said once."""
        # A source that says itself how sure it is need not be told so twice.
        told = self.source if self.sureness and self.how_sure.partition(",")[0] in self.source else ""
        words = told or ": ".join(part for part in (self.how_sure, self.source) if part)
        if self.year and self.year not in words:
            words += f" ({self.year})"
        return f"{words}. {self.note}" if self.note else words


def least_sure_first(marks: Iterable[Mark]) -> list[Mark]:
    """Each mark once, the least sure first; those as sure as each other in the order given."""
    return sorted(dict.fromkeys(marks), key=lambda mark: -_place(mark.sureness))


def marks_of_facts(facts: Iterable[FactPlan], say: Callable[[Message], str]) -> list[Mark]:
    """Rules with their marks, the least sure first."""
    return least_sure_first(Mark(say(fact.text), fact.source, fact.year, fact.sureness) for fact in facts)


def marks_of_box(box: BoxPlan, say: Callable[[Message], str]) -> list[Mark]:
    """Marks of a box's figures: of its rules, its screws and nails, its board and its wood, that wood abroad.

    Parameters
    ----------
    box
        Of a plan.
    say
        Writes a sentence for the reader.
    """
    marks = marks_of_facts(box.facts, say)
    marks += [Mark(say(row.rule), row.source, row.year, row.sureness) for row in box.hardware if row.rule]
    if box.board is not None and box.board.source:
        name = _("%(board)s: caliper and weight") % {"board": box.board.name}
        marks.append(Mark(name, box.board.source, sureness=box.board.sureness))
    for stock in (piece.stock for piece in box.pieces):
        if stock is not None and stock.kind is StockKind.TIMBER and stock.source:
            name = _("%(wood)s: sizes and weight") % {"wood": stock.name}
            marks.append(Mark(name, stock.source, sureness=stock.sureness))
    if box.wood_abroad is not None and box.treatment is not None:
        rule = box.treatment
        marks.append(Mark(_("Wood that goes abroad"), rule.source, rule.year, rule.sureness))
    return least_sure_first(marks)


def marks_of(thing: Marked, say: Callable[[Message], str]) -> list[Mark]:
    """The marks of one thing of a plan, the least sure first.

    Parameters
    ----------
    thing
        A bill, or what a box was chosen for: where the rule that billed it was read. A charge: where its prices were. A
        surcharge: each limit passed, with its own year. A check of a board: each table and formula in it. A rule for
        wood. A plan: its own rules and those of its box.
    say
        Writes a sentence for the reader.
    """
    match thing:
        case Plan():
            return least_sure_first([*marks_of_facts(thing.facts, say), *marks_of_box(thing.box, say)])
        case ChoicePlan() if thing.billed is None or not thing.source:
            return []
        case BillPlan() | ChoicePlan():
            return [Mark("", thing.source, _year(thing.as_of), thing.sureness, thing.note)]
        case ChargePlan():
            return [Mark(_("Prices"), thing.source, _year(thing.as_of), thing.sureness, thing.note)]
        case SurchargePlan():
            reasons = (Mark(say(one.text), one.source, _year(one.as_of), one.sureness) for one in thing.reasons)
            return least_sure_first(reasons)
        case CheckPlan():
            return least_sure_first(Mark("", one.source, one.year, one.sureness) for one in thing.marks or (thing,))
        case TreatmentPlan():
            return [Mark("", thing.source, thing.year, thing.sureness)]


def _year(day: dt.date | None) -> str:
    return str(day.year) if day else _("undated")


def _place(sureness: str) -> int:
    """The distance from sure: 0 is read in the original; what is not known comes before all that is."""
    return SURENESS.index(sureness) if sureness in SURENESS else len(SURENESS)
