"""The form of “What would it cost to send?”: a mix typed in one line, and where it goes."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.countries import CountryField
from shop.forms.fields import Cleaned, DayField
from shop.forms.orders import NewOrderForm
from shop.forms.stamps import read_stamp, where_it_is
from shop.models import MOST_POSTCODE, Block, Piece, PieceState, Product, ProductSet, Quote, Shop
from shop.services.quotes import MOST_QUOTED, Asked, AskedLine
from shop.services.shops import today

PARTS = re.compile(r"[,;\n]")
COUNTED = re.compile(
    r"(?:(?P<first>\d{1,4})\s*(?:[x×*]\s*|\s))?(?P<what>.*?)(?:\s*[x×*]\s*(?P<last>\d{1,4}))?", re.IGNORECASE
)
MATCHED = re.compile(r"\s+matched$", re.IGNORECASE)
MOST_TYPED = 500
MOST_NAMED = 6
MOST_DAYS = 366


@dataclass(frozen=True)
class Thing:
    """A product, set or block of the shop, and the words it goes by."""

    row: Product | ProductSet | Block
    words: tuple[str, ...]

    @property
    def name(self) -> str:
        """The name offered for typing: a product's code, else the name."""
        return self.words[0]

    def line(self, quantity: int, *, matched: bool) -> AskedLine:
        """So many of it."""
        match self.row:
            case Product():
                return AskedLine(product=self.row, quantity=quantity)
            case ProductSet():
                return AskedLine(product_set=self.row, quantity=quantity, matched=matched)
            case _:
                return AskedLine(block=self.row, quantity=quantity)


class QuoteForm(forms.Form):
    """A mix to be sent, typed as one line such as “2 CH125, wax”, and whereto."""

    mix = forms.CharField(
        label=gettext_lazy("What would it cost to send?"),
        max_length=MOST_TYPED,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off", "list": "things"}),
    )
    country = CountryField(label=gettext_lazy("To"))
    postcode = forms.CharField(
        label=gettext_lazy("Postcode"),
        max_length=MOST_POSTCODE,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "short"}),
    )

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"country": shop.country})
        super().__init__(*args, **kwargs)
        self.shop = shop
        self.things = things_of(shop)
        self.fields["mix"].help_text = self._help()
        self.fields["mix"].error_messages["required"] = _("Say what is to be sent.")

    def clean_mix(self) -> tuple[AskedLine, ...]:
        """The lines that were typed, at most so many items."""
        parts = [part.strip() for part in PARTS.split(self.cleaned_data["mix"]) if part.strip()]
        if not parts:
            raise ValidationError(_("Say what is to be sent."))
        lines = tuple(self._line(part) for part in parts)
        twice = {line.piece.label for line in lines if line.piece is not None and lines.count(line) > 1}
        if twice:
            raise ValidationError(_("%(pieces)s: named twice here.") % {"pieces": ", ".join(sorted(twice))})
        return lines

    def asked(self) -> Asked:
        """Read the request from a form that is valid."""
        cleaned: Cleaned = self.cleaned_data
        return Asked(self.shop, cleaned["mix"], cleaned["country"], cleaned["postcode"].strip())

    def _line(self, part: str) -> AskedLine:
        """One part of the line: a stamp of a piece, or a count and a name."""
        # A number alone is no stamp here: it would be a piece of any product.
        stamp = read_stamp(part)
        if stamp is not None and stamp.code:
            return self._piece(part, stamp.code, stamp.number)
        found = COUNTED.fullmatch(part)
        count = int((found.group("first") or found.group("last") or 1) if found else 1)
        what, matched = (found.group("what") if found else part), False
        if MATCHED.search(what):
            what, matched = MATCHED.sub("", what), True
        if not 1 <= count <= MOST_QUOTED:
            sentence = _("“%(part)s”: how many must be from 1 to %(most)d, not %(count)d.")
            raise ValidationError(sentence % {"part": part, "most": MOST_QUOTED, "count": count})
        thing = self._thing(what)
        if matched and not isinstance(thing.row, ProductSet):
            raise ValidationError(_("Only a set can be matched: all its pieces bear the same number."))
        return thing.line(count, matched=matched)

    def _piece(self, part: str, code: str, number: int) -> AskedLine:
        pieces = Piece.objects.filter(shop=self.shop, product__code=code, number=number)
        piece = pieces.select_related("product__pattern").first()
        if piece is None:
            raise ValidationError(_("“%(part)s” is no piece of the shop.") % {"part": part})
        if piece.state != PieceState.RACK:
            raise ValidationError(where_it_is(piece))
        return AskedLine(piece=piece)

    def _thing(self, what: str) -> Thing:
        """The thing that goes by these words: exactly, else the only one of which a word begins so."""
        wanted = " ".join(what.casefold().split())
        exact = [one for one in self.things if wanted in (word.casefold() for word in one.words)]
        like = exact or [one for one in self.things if wanted and _begins(one, wanted)]
        if len(like) == 1:
            return like[0]
        if not like:
            raise ValidationError(_("“%(what)s” is no product, set or block of the shop.") % {"what": what})
        names = ", ".join(one.name for one in like[:MOST_NAMED])
        raise ValidationError(_("“%(what)s” could be %(names)s: write more of it.") % {"what": what, "names": names})

    def _help(self) -> str:
        """An example of the shop's own things; empty where there is nothing yet to ask about."""
        codes = [one.name for one in self.things if isinstance(one.row, Product)]
        if not codes:
            return ""
        example = ", ".join([f"2 {codes[0]}", *(one.name for one in self.things[1:2])])
        named = {"example": example, "piece": f"{codes[0]}-007"}
        return _("Such as “%(example)s”; %(piece)s is a piece that is chosen already.") % named


class HoldForm(forms.Form):
    """The time that a quote holds, and what was seen when it was stored."""

    good_until = DayField(
        label=gettext_lazy("Holds until"), widget=forms.DateInput(format="%Y-%m-%d", attrs={"class": "short"})
    )
    seen = forms.CharField(widget=forms.HiddenInput, max_length=64)

    def __init__(self, *args: Any, shop: Shop, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.shop = shop

    def clean_good_until(self) -> dt.date:
        """From today on, a year at most."""
        day: dt.date = self.cleaned_data["good_until"]
        first, last = today(self.shop), today(self.shop) + dt.timedelta(days=MOST_DAYS)
        if not first <= day <= last:
            named = {"first": first.isoformat(), "last": last.isoformat(), "day": day.isoformat()}
            raise ValidationError(_("A day from %(first)s to %(last)s, not %(day)s.") % named)
        return day

    def tell_changed(self, now: str) -> bool:
        """Tell whether the answer is another than the one that was seen; if so it is said."""
        if self.cleaned_data["seen"] == now:
            return False
        self.add_error(None, _("Box, rules or prices have changed meanwhile: look at them again."))
        self.data = {**{name: self.data[name] for name in self.data}, "seen": now}
        return True


def customer_form(quote: Quote, data: Any = None) -> NewOrderForm:
    """The form of whom a quote's order is for; a new customer lives where the quote goes."""
    form = NewOrderForm(data, shop=quote.shop, initial={"country": quote.country})
    del form.fields["notes"]
    return form


def things_of(shop: Shop) -> list[Thing]:
    """Everything that can be asked about, products first."""
    return list(_things(shop))


def _things(shop: Shop) -> Iterator[Thing]:
    for product in Product.objects.filter(shop=shop).select_related("pattern"):
        yield Thing(product, (product.code, product.name))
    for product_set in ProductSet.objects.filter(shop=shop):
        yield Thing(product_set, (product_set.name,))
    for block in Block.objects.filter(shop=shop):
        yield Thing(block, (block.name,))


def _begins(one: Thing, wanted: str) -> bool:
    """Tell whether a name begins with some words, or one of its own words does."""
    texts = [word.casefold() for word in one.words]
    return any(text.startswith(wanted) or f" {wanted}" in text for text in texts)
