"""Stamps of tools, typed or scanned: the number alone, or the product's code and the number."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from shop.models import Allocation, Piece, Product, Shop

STAMPED = re.compile(r"(?:(?P<code>[A-Z0-9][A-Z0-9.]*)[\s/–-]+)?#?(?P<number>[0-9]{1,9})", re.IGNORECASE)
HIGHEST_NUMBER = 99999
"""A scanner that reads another label gives long numbers; no forge strikes six figures into a head."""
NUMBER = {"inputmode": "numeric", "autocomplete": "off", "class": "short"}
CODE_AND_NUMBER = {**NUMBER, "inputmode": "text", "autocapitalize": "characters"}
"""A numeric keyboard has no letters, and a code begins with one."""


@dataclass(frozen=True)
class Stamp:
    """A number as stamped, and the code before it; empty where the number stood alone."""

    code: str
    number: int

    @property
    def label(self) -> str:
        """As pieces are called: CH125-007."""
        return f"{self.code}-{self.number:03d}"

    def is_of(self, code: str) -> bool:
        """Tell whether it may be a piece of the product: a number alone may be anyone's."""
        return not self.code or self.code == code


def read_stamp(text: str) -> Stamp | None:
    """`7`, `007` or `CH125-007` as a stamp; None for anything else."""
    found = STAMPED.fullmatch(text.strip())
    return Stamp((found.group("code") or "").upper(), int(found.group("number"))) if found else None


class StampField(forms.CharField):
    """A stamp, or None where nothing is typed."""

    widget = forms.TextInput(attrs=NUMBER)

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        stamp = read_stamp(text)
        if stamp is None:
            sentence = _("“%(typed)s” is not a number as stamped, such as 7, or code and number, such as CH125-007.")
            raise ValidationError(sentence % {"typed": text})
        if not 1 <= stamp.number <= HIGHEST_NUMBER:
            raise ValidationError(
                _("A number is from 1 to %(most)d, not %(typed)s.") % {"most": HIGHEST_NUMBER, "typed": text}
            )
        return stamp


def what_it_is(shop: Shop, stamp: Stamp) -> str:
    """Of which product a stamp with a code is: "CP080-007 is CP080 Cross peen"."""
    product = Product.objects.filter(shop=shop, code=stamp.code).first()
    if product is None:
        return _("%(stamp)s is of no product here") % {"stamp": stamp.label}
    return _("%(stamp)s is %(product)s") % {"stamp": stamp.label, "product": product}


def where_it_is(piece: Piece) -> str:
    """The place of a piece and who holds it, in a sentence."""
    live = Allocation.objects.live().filter(piece=piece).select_related("line__order__customer").first()
    if live is not None:
        return _("%(piece)s is held for order %(number)d, %(customer)s.") % {
            "piece": piece.label,
            "number": live.line.order.number,
            "customer": live.line.order.customer.name,
        }
    return _("%(piece)s is %(state)s.") % {"piece": piece.label, "state": piece.get_state_display()}
