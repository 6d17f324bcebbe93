"""Template tags of the screens: measures in the reader's units, ringed letters."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import template
from django.utils.html import conditional_escape, format_html
from django.utils.safestring import SafeString

from shop.adapter import Message
from shop.formatting import Number, Wording, in_g, in_mm
from shop.marks import Mark, Marked, marks_of
from shop.models import Lot

register = template.Library()
NOTHING = "–"


@register.simple_tag(takes_context=True)
def length(context: template.Context, mm: Number | None) -> str:
    """A length with its unit, in the reader's units; a dash where it is not known."""
    return NOTHING if mm is None else _wording(context).length(mm)


@register.simple_tag(takes_context=True)
def size(context: template.Context, sides: Sequence[Number] | None) -> str:
    """Lengths joined by a times sign: 488 × 188 × 123 mm."""
    return _wording(context).size(sides) if sides else NOTHING


@register.simple_tag(takes_context=True)
def sides(context: template.Context, *lengths: Number | None) -> str:
    """Lengths given one by one, joined by a times sign."""
    known = [side for side in lengths if side is not None]
    return _wording(context).size(known) if known else NOTHING


@register.simple_tag(takes_context=True)
def measured(context: template.Context, *lengths: Number | None) -> str:
    """Sizes of stock as a caliper or a rule says them, joined by a times sign; a dash where they are not known."""
    known = [side for side in lengths if side is not None]
    return _wording(context).measured(*known) if known else NOTHING


@register.simple_tag(takes_context=True)
def give_or_take(context: template.Context, mm: Number, by_mm: Number) -> str:
    """A size of stock and by how much it may be off."""
    return _wording(context).measured(mm, by_mm, joined="\u00a0± ")


@register.simple_tag(takes_context=True)
def weight(context: template.Context, g: Number | None) -> str:
    """A weight with its unit, in the reader's units; a dash where it is not known."""
    return NOTHING if g is None else _wording(context).weight(g)


@register.simple_tag(takes_context=True)
def heap(context: template.Context, g: Number) -> str:
    """A weight that is only known about, in the reader's units."""
    return _wording(context).heap(g)


@register.simple_tag(takes_context=True)
def volume(context: template.Context, litres: Number | None) -> str:
    """The volume in the reader's units; a dash where it is not known."""
    return NOTHING if litres is None else _wording(context).volume(litres)


@register.simple_tag(takes_context=True)
def message(context: template.Context, sentence: Message | None) -> str:
    """A sentence of the plan in the reader's language and units."""
    return conditional_escape(_wording(context).message(sentence)) if sentence else ""


@register.inclusion_tag("screens/marks.html", takes_context=True)
def marks(context: template.Context, thing: Marked) -> dict[str, list[Mark]]:
    """The sources of a thing of the plan: where read, of which year, how sure; the least sure first."""
    return {"marks": marks_of(thing, _wording(context).message)}


@register.filter
def mm(um: int | Sequence[int] | None) -> Decimal | list[Decimal] | None:
    """Lengths of a plan, which are whole micrometres, in millimetres."""
    if um is None or isinstance(um, int):
        return None if um is None else in_mm(um)
    return [in_mm(side) for side in um]


@register.filter
def g(mg: int | None) -> Decimal | None:
    """A weight of a plan, which is in whole milligrams, in grams."""
    return None if mg is None else in_g(mg)


@register.filter
def ring(letter: str) -> SafeString | str:
    """A letter in a ring, as in the pictures and on the papers."""
    return format_html('<span class="ring">{}</span>', letter) if letter else ""


@register.filter
def plain(number: Decimal | None) -> str:
    """A stored number without the zeros that only fill its places; a dash where it is not known."""
    return NOTHING if number is None else f"{number.normalize():f}"


@register.filter
def percent(part: float | Decimal | None) -> str:
    """A part of one as per cent, to one decimal below ten and to none above."""
    if part is None:
        return NOTHING
    hundredths = Decimal(str(part)) * 100
    return f"{hundredths:.1f}\u00a0%" if 0 < hundredths < 10 else f"{hundredths:.0f}\u00a0%"


@register.filter
def bar_of_steel(lot: Lot, width: int) -> str:
    """Hatching of a bar `width` long and 17 high as far as the lot still has steel, as an SVG path."""
    part = min(lot.left_kg / lot.received_kg, Decimal(1)) if lot.received_kg > 0 else Decimal(0)
    end = float(part) * width
    strokes = [f"M{x} 17.5L{min(x + 17, end):.1f} {17.5 - (min(x + 17, end) - x):.1f}" for x in range(0, int(end), 7)]
    return "".join([*strokes, f"M{end:.1f} 0V18"])


def _wording(context: template.Context) -> Wording:
    wording: Any = context["wording"]
    if not isinstance(wording, Wording):
        raise template.TemplateSyntaxError("The page must be rendered by shop.views.page.render.")
    return wording
