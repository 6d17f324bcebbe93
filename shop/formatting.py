"""Lengths and weights as they stand on screens and papers; fractions as on the drawings, 4 5/8."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal

from django.utils.html import conditional_escape, format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from shop.adapter import Message, render, show_between, show_length, show_weight
from shop.models import MEASURES, LengthUnit, Piece, WeightUnit

WEIGHTS = ("weight_g", "head_weight_g")
Number = Decimal | float | int

# Half a sixteenth of an inch, of a tenth of a millimetre, of a tenth of an ounce: less would be written as nothing.
MM_IN_AN_INCH, HALF_A_THOUSANDTH = Decimal("25.4"), Decimal("0.0005")
LEAST_SIXTEENTH_MM = Decimal("25.4") / 32
LEAST_TENTH_MM = Decimal("0.05")
LEAST_OUNCE_G = Decimal("453.59237") / 320
MICROMETRES_IN_A_METRE = 10**6
G_IN_A_POUND = Decimal("453.59237")
LITRES_IN_A_CUBIC_INCH = Decimal("0.254") ** 3
# 1 lb/ft³ and 1 lb per 1000 ft², from 1 lb = 453.59237 g and 1 ft = 0.3048 m.
KG_M3_IN_A_LB_FT3 = Decimal("0.45359237") / Decimal("0.3048") ** 3
G_M2_IN_A_LB_MSF = Decimal("453.59237") / (1000 * Decimal("0.3048") ** 2)


def filled(text: str, **values: str) -> SafeString:
    """A translated text with its ``%(name)s`` filled in; whatever is not marked safe is escaped."""
    return mark_safe(conditional_escape(text) % {name: conditional_escape(value) for name, value in values.items()})


@dataclass(frozen=True, slots=True)
class Units:
    """The units one reader reads in: "mm" or "in", "g" or "lb"."""

    length: str = LengthUnit.MM.value
    weight: str = WeightUnit.GRAM.value


@dataclass(frozen=True, slots=True)
class Wording:
    """Writes measures in one reader's units."""

    units: Units

    def bare(self, mm: Number, *, fine: bool = False) -> SafeString:
        """A length without its unit; `fine` reads inches to 1/32 instead of 1/16."""
        return _figure(self._length(mm, fine))

    def between(self, low_mm: Number, high_mm: Number) -> SafeString:
        """The length between two places without its unit: what they differ by as `bare` writes them."""
        return _figure(show_between(low_mm, high_mm, self.units.length))

    def bare_extent(self, low_mm: Sequence[Number], high_mm: Sequence[Number]) -> SafeString:
        """The sides of what lies between two corners, joined by a times sign, without their unit."""
        sides = zip(low_mm, high_mm, strict=True)
        return format_html_join("\u00a0× ", "{}", ((self.between(*ends),) for ends in sides))

    def extent(self, low_mm: Sequence[Number], high_mm: Sequence[Number]) -> SafeString:
        """The sides of what lies between two corners, with their unit."""
        return _joined(self.bare_extent(low_mm, high_mm), self.units.length)

    def length(self, mm: Number, *, fine: bool = False) -> SafeString:
        """A length with its unit."""
        return _joined(self.bare(mm, fine=fine), self.units.length)

    def size(self, sides: Sequence[Number], *, fine: bool = False) -> SafeString:
        """Lengths joined by a times sign, the unit once: 488 × 188 × 123 mm."""
        return _joined(self.bare_size(sides, fine=fine), self.units.length)

    def bare_size(self, sides: Sequence[Number], *, fine: bool = False) -> SafeString:
        """Lengths joined by a times sign, without their unit."""
        return format_html_join("\u00a0× ", "{}", ((self.bare(side, fine=fine),) for side in sides))

    def measured(self, *sides: Number, joined: str = "\u00a0× ") -> SafeString:
        """Sizes of stock as measured, the unit once: inches by 64ths where they hit it, else in thousandths."""
        return _joined(format_html_join(joined, "{}", ((self._by_caliper(side),) for side in sides)), self.units.length)

    def weight(self, g: Number) -> str:
        """A weight with its unit."""
        if self.units.weight == WeightUnit.POUND and 0 < g < LEAST_OUNCE_G:
            return _spaced(_("under 0.1 oz"))
        return _spaced(show_weight(g, self.units.weight))

    def heap(self, g: Number) -> str:
        """A weight that is only known about: kilograms to a tenth, or whole pounds."""
        if self.units.weight == WeightUnit.POUND:
            return _spaced(f"{_rounded(Decimal(str(g)) / G_IN_A_POUND, 0)} lb")
        return _spaced(f"{_rounded(Decimal(str(g)) / 1000, 1).normalize():f} kg")

    def metres(self, m: Number) -> str:
        """A length of tape: metres, or feet for who reads inches."""
        metres = Decimal(str(m))
        if self.units.length == LengthUnit.INCH:
            return _spaced(f"{_feet(metres)} ft")
        return _spaced(f"{_rounded(metres, 1)} m")

    def volume(self, litres: Number) -> str:
        """The volume in words: litres, or cubic inches for who reads inches."""
        volume = Decimal(str(litres))
        if self.units.length == LengthUnit.INCH:
            return _spaced(f"{_rounded(volume / LITRES_IN_A_CUBIC_INCH, 0)} in³")
        return _spaced(_("%(litres)s litres") % {"litres": _rounded(volume, 1)})

    def density(self, kg_m3: Number) -> str:
        """A foam's density: kg/m³, or lb/ft³ for who reads pounds."""
        density = Decimal(str(kg_m3))
        if self.units.weight == WeightUnit.POUND:
            return _spaced(f"{_rounded(density / KG_M3_IN_A_LB_FT3, 2)} lb/ft³")
        return _spaced(f"{_rounded(density, 1)} kg/m³")

    def grammage(self, g_m2: Number) -> str:
        """A board's weight by area: g/m², or lb per 1000 ft² for who reads pounds."""
        grammage = Decimal(str(g_m2))
        if self.units.weight == WeightUnit.POUND:
            return _spaced(f"{_rounded(grammage / G_M2_IN_A_LB_MSF, 0)} lb per 1000 ft²")
        return _spaced(f"{_rounded(grammage, 0)} g/m²")

    def both(self, g: Number) -> str:
        """A weight in pounds and in kilograms, for whoever carries it; the reader's own unit first."""
        kilograms, pounds = self._kilograms(g), _spaced(show_weight(g, "lb"))
        return f"{pounds} ({kilograms})" if self.units.weight == WeightUnit.POUND else f"{kilograms} ({pounds})"

    def tolerance(self, g: Number) -> str:
        """The tolerance of a gross weight, in the unit that stands first in `both`."""
        return self.weight(g) if self.units.weight == WeightUnit.POUND else self._kilograms(g)

    def message(self, message: Message) -> str:
        """A sentence of the plan, in the reader's language and units."""
        return render(message, SentenceWording(self.units))

    @property
    def note(self) -> str:
        """The title block's line on units."""
        if self.units.length == LengthUnit.INCH:
            return _("inches, to 1/16") if self.units.weight == WeightUnit.POUND else _("inches, grams")
        return _("mm, g") if self.units.weight == WeightUnit.GRAM else _("mm, lb and oz")

    def _by_caliper(self, mm: Number) -> SafeString:
        exact = Decimal(str(mm))
        if self.units.length != LengthUnit.INCH:
            return _figure(f"{exact.normalize():f} mm")
        inches, parts = exact / MM_IN_AN_INCH, round(exact / MM_IN_AN_INCH * 64)
        if parts and abs(inches - Decimal(parts) / 64) <= HALF_A_THOUSANDTH:
            return _figure(show_length(exact, self.units.length, sixteenths=64))
        return _figure(f"{inches:.3f} in")

    def _length(self, mm: Number, fine: bool) -> str:
        return show_length(mm, self.units.length, sixteenths=32 if fine else 16)

    def _kilograms(self, g: Number) -> str:
        return _spaced(f"{_rounded(Decimal(str(g)) / 1000, 2)} kg")


@dataclass(frozen=True, slots=True)
class SentenceWording:
    """Writes the library's sentences for one reader: gettext's language, the reader's units, rounded as on drawings.

    It is what `packing.plan.Wording` asks for; lengths are whole micrometres, weights whole milligrams.
    """

    units: Units

    def translate(self, template: str) -> str:
        """A template in the reader's language."""
        return _(template) if template else ""

    def length(self, um: int) -> str:
        """A length with its unit."""
        return _spaced(f"{_rough(in_mm(um), self.units)} {self.units.length}")

    def run(self, um: int) -> str:
        """A length off a roll: metres, or feet for who reads inches."""
        return Wording(self.units).metres(Decimal(um) / MICROMETRES_IN_A_METRE)

    def sides(self, um: Sequence[int]) -> str:
        """Lengths joined by a times sign, the unit once."""
        return _spaced(f"{' × '.join(_rough(in_mm(side), self.units) for side in um)} {self.units.length}")

    def weight(self, mg: int) -> str:
        """A weight with its unit."""
        return Wording(self.units).weight(in_g(mg))

    def number(self, value: Decimal) -> str:
        """A plain number, without zeros that only fill its places."""
        return f"{value.normalize():f}"

    def term(self, key: str) -> str:
        """A measure of a piece as the screens call it, in the middle of a sentence."""
        return measure_label(key).lower()


def measure_label(name: str) -> str:
    """The name of a piece's measure as people say it: Head length."""
    field = Piece._meta.get_field(name) if name in (*MEASURES, *WEIGHTS) else None
    text = str(getattr(field, "verbose_name", name.replace("_", " "))).removesuffix(", g")
    return text[:1].upper() + text[1:]


def in_mm(um: int) -> Decimal:
    """Whole micrometres, as a plan has them, in millimetres."""
    return Decimal(um) / 1000


def in_g(mg: int) -> Decimal:
    """Whole milligrams, as a plan has them, in grams."""
    return Decimal(mg) / 1000


def _rough(mm: Decimal, units: Units) -> str:
    """A length as a sentence says it: what is too little to be written is said to be less than that."""
    if units.length == LengthUnit.INCH and 0 < mm < LEAST_SIXTEENTH_MM:
        return _("less than 1/16")
    if 0 < mm < LEAST_TENTH_MM:
        return _("less than 0.1")
    return _spaced(show_length(mm, units.length).rpartition(" ")[0])


def _feet(metres: Decimal) -> Decimal:
    return _rounded(metres / Decimal("0.3048"), 1)


def _rounded(number: Decimal, decimals: int) -> Decimal:
    return number.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_EVEN)


def _spaced(text: str) -> str:
    return text.replace(" ", "\u00a0")


def _figure(length: str) -> SafeString:
    """A length without its unit, whole number and fraction kept together: ``4 5/8``, as on the drawings."""
    return format_html("{}", _spaced(length.rpartition(" ")[0]))


def _joined(number: SafeString, unit: str) -> SafeString:
    return format_html("{}\u00a0{}", number, unit)
