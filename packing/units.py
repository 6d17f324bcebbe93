"""Lengths and weights as people type and read them, and the exact factors behind them.

All factors are exact by definition: 1 in = 25.4 mm, 1 lb = 453.59237 g, 1 oz = 1/16 lb (international yard and
pound, 1959).

References
----------
NIST Special Publication 811 (2008), appendix B.8 (from memory): the exact factors of the inch and the pound.
"""

import re
from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache


class LengthUnit(StrEnum):
    """The unit that lengths are shown in."""

    MM = "mm"
    INCH = "in"


class WeightUnit(StrEnum):
    """The unit that weights are shown in."""

    GRAM = "g"
    POUND = "lb"


MM_PER_INCH = Decimal("25.4")
G_PER_POUND = Decimal("453.59237")
G_PER_OUNCE = G_PER_POUND / 16
"""The avoirdupois ounce; no other is weighed with here."""

LENGTH_UNITS: dict[str, Decimal] = {
    "mm": Decimal(1),
    "cm": Decimal(10),
    "m": Decimal(1000),
    "in": MM_PER_INCH,
    "ft": MM_PER_INCH * 12,
}
WEIGHT_UNITS: dict[str, Decimal] = {
    "g": Decimal(1),
    "kg": Decimal(1000),
    "lb": G_PER_POUND,
    "oz": G_PER_OUNCE,
}
_ALIASES = {
    '"': "in",
    "″": "in",
    "”": "in",
    "inch": "in",
    "inches": "in",
    "'": "ft",
    "′": "ft",
    "’": "ft",
    "lbs": "lb",
    "pound": "lb",
    "pounds": "lb",
    "ounce": "oz",
    "ounces": "oz",
}
_VULGAR = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_OVERFLOWS: dict[str, dict[str, int]] = {"oz": {"lb": 16}, "in": {"ft": 12}, "mm": {"cm": 10}, "g": {"kg": 1000}}
"""Of a unit beside a larger one, how many make one of the larger."""
_NUMBER = r"(?:\d+\s*/\s*\d+|\d+(?:[\s-]+\d+\s*/\s*\d+|[.,]\d+)?|[.,]\d+)"
_TERM = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>[^\d\s.,/-]+)?\.?\s*")
_LONGEST_TEXT = 60
"""Longer is no measure but something pasted by mistake."""
_MOST = 10**9
"""Millimetres or grams beyond which nothing that is measured lies; what a use allows is far below."""
_EXAMPLES = {
    "mm": "117.5 mm",
    "cm": "11.75 cm",
    "m": "0.3 m",
    "in": "4 5/8 in",
    "ft": "1 1/2 ft",
    "g": "1440 g",
    "kg": "1.44 kg",
    "lb": "5 1/4 lb",
    "oz": "7 1/2 oz",
}


def plain_number(number: Decimal) -> str:
    """A number without an exponent and without zeros that only fill its places."""
    text = f"{abs(number) if number.is_zero() else number:f}"
    whole, point, decimals = text.partition(".")
    return (whole + point + decimals.rstrip("0")).rstrip(".") if point else whole


def half_up(numerator: int, denominator: int) -> int:
    """Divide whole numbers of 0 or more and round to the nearest whole number, halves up.

    Parameters
    ----------
    numerator, denominator
        Not negative; the denominator greater than 0.
    """
    return (2 * numerator + denominator) // (2 * denominator)


def to_tenth_g(mg: int) -> int:
    """Milligrams to the nearest tenth of a gram, half up: what a paper shows is what is added."""
    return half_up(mg, 100) * 100


class UnreadableMeasure(ValueError):
    """A typed length or weight that cannot be read; the message names the text and the rule."""


def _number(text: str) -> Fraction:
    *before, last = re.sub(r"\s*/\s*", "/", text).replace("-", " ").split()
    whole = Fraction(int(before[0])) if before else Fraction(0)
    if "/" not in last:
        return Fraction(Decimal(last.replace(",", ".")))
    upper, lower = (int(figure) for figure in last.split("/"))
    if lower == 0:
        raise UnreadableMeasure(f"“{text}” divides by zero.")
    if before and upper >= lower:
        raise UnreadableMeasure(f"“{last}” after a whole number must be less than one.")
    figures = str(upper)
    # 5 1/8 without its space is 51/8: both can be meant, so it is asked about.
    for at in range(1, len(figures)) if upper >= lower else ():
        if 0 < int(figures[at:]) < lower:
            meant = f"{figures[:at]} {figures[at:]}/{lower}"
            raise UnreadableMeasure(f"“{last}” can be read in two ways: write “{meant}” or a decimal.")
    return whole + Fraction(upper, lower)


def _parse(text: str, default_unit: str, units: dict[str, Decimal], what: str) -> Decimal:
    if default_unit not in units:
        raise UnreadableMeasure(f"The unit “{default_unit}” is not one of {', '.join(units)}.")
    tidy = text.strip().lower()
    for sign, plain in _VULGAR.items():
        tidy = tidy.replace(sign, " " + plain)
    tidy = " ".join(tidy.split())
    if not tidy:
        raise UnreadableMeasure(f"The {what} is missing.")
    if len(tidy) > _LONGEST_TEXT:
        raise UnreadableMeasure(f"A {what} of {len(tidy)} characters is too long; at most {_LONGEST_TEXT} are read.")
    if tidy.startswith("-"):
        raise UnreadableMeasure(f"A {what} cannot be negative: “{text}”.")
    total, position = Fraction(0), 0
    used: list[str] = []
    while position < len(tidy):
        term = _TERM.match(tidy, position)
        alone = term is not None and term.span() == (0, len(tidy))
        if term is None or (term.group("unit") is None and not alone):
            raise UnreadableMeasure(f"“{text}” is not a {what}; write it like “{_EXAMPLES[default_unit]}”.")
        unit = term.group("unit") or default_unit
        unit = _ALIASES.get(unit, unit)
        if unit not in units:
            raise UnreadableMeasure(f"“{term.group('unit')}” is not a unit of {what}; use {', '.join(units)}.")
        if unit in used:
            raise UnreadableMeasure(f"“{text}” names the unit {unit} twice.")
        number = _number(term.group("number"))
        _refuse_overflow(text, number, unit, used)
        used.append(unit)
        total += number * Fraction(units[unit])
        position = term.end()
    if total > _MOST:
        raise UnreadableMeasure(f"“{text}” is more than any {what} can be.")
    return Decimal(total.numerator) / Decimal(total.denominator)


def _refuse_overflow(text: str, number: Fraction, unit: str, before: Sequence[str]) -> None:
    """Raise UnreadableMeasure where ounces beside pounds make a pound, or inches beside feet a foot."""
    for larger, most in (_OVERFLOWS.get(unit, {})).items():
        if larger in before and number >= most:
            raise UnreadableMeasure(f"“{text}”: {unit} beside {larger} are less than {most}.")


def parse_length(text: str, default_unit: str = "mm") -> Decimal:
    """Read a typed length.

    Parameters
    ----------
    text
        Such as ``117.5``, ``117,5 mm``, ``4 5/8 in``, ``1 ft 2 1/2 in``. Decimal point and comma are both read.
    default_unit
        ``mm``, ``cm``, ``m``, ``in`` or ``ft``: the unit of a bare number.

    Returns
    -------
    Decimal
        Millimetres, exact (but for fractions of an inch with no finite decimal, 28 digits).

    Raises
    ------
    UnreadableMeasure
        The text is empty, negative, no number, or in an unknown unit.
    """
    return _parse(text, default_unit, LENGTH_UNITS, "length")


def parse_weight(text: str, default_unit: str = "g") -> Decimal:
    """Read a typed weight.

    Parameters
    ----------
    text
        Such as ``1440``, ``1,440 kg`` or ``5 lb 4 oz``. Decimal point and comma are both read.
    default_unit
        ``g``, ``kg``, ``lb`` or ``oz``: the unit of a bare number.

    Returns
    -------
    Decimal
        Grams, exact as in `parse_length`.

    Raises
    ------
    UnreadableMeasure
        The text is empty, negative, no number, or in an unknown unit.
    """
    return _parse(text, default_unit, WEIGHT_UNITS, "weight")


def show_length(mm: Decimal | float, unit: str = "mm", *, sixteenths: int = 16) -> str:
    """Write a length for reading: ``117.5 mm``, or ``4 5/8 in`` to the nearest 1/`sixteenths` inch.

    Parameters
    ----------
    mm
        Millimetres.
    unit
        ``mm`` or ``in``.
    sixteenths
        Parts of an inch to round to; 16 on a bench rule, 64 on a fine one.

    Returns
    -------
    str
        Millimetres to a tenth, halves to even; inches as whole inches and a fraction in lowest terms.

    Raises
    ------
    UnreadableMeasure
        The unit is neither.
    """
    return _written(_steps(mm, unit, sixteenths), unit, sixteenths)


def show_between(low_mm: Decimal | float, high_mm: Decimal | float, unit: str = "mm", *, sixteenths: int = 16) -> str:
    """Write the length between two places: what their own figures, as `show_length` writes them, differ by.

    Parameters
    ----------
    low_mm, high_mm
        Places along one line in millimetres.
    unit, sixteenths
        See `show_length`.

    Returns
    -------
    str
        As `show_length` writes it; with a minus sign where `high_mm` is the lower place.

    Raises
    ------
    UnreadableMeasure
        See `show_length`.

    Notes
    -----
    Places are rounded, lengths are not: the parts of a chain of dimensions add up to its whole as printed, and a
    length may differ by one step from what it would be rounded to alone.
    """
    return _written(_steps(high_mm, unit, sixteenths) - _steps(low_mm, unit, sixteenths), unit, sixteenths)


@lru_cache(maxsize=8192)
def _steps(mm: Decimal | float, unit: str, sixteenths: int) -> int:
    """Whole tenths of a millimetre, or parts of an inch, nearest to a length; halves to even."""
    if unit not in set(LengthUnit):
        raise UnreadableMeasure(f"Lengths are shown in mm or in, not “{unit}”.")
    # By its digits: a binary float is hardly ever the decimal that was meant.
    exact = Fraction(Decimal(str(mm)))
    return round(exact * 10 if unit == LengthUnit.MM else exact / Fraction(MM_PER_INCH) * sixteenths)


@lru_cache(maxsize=8192)
def _written(steps: int, unit: str, sixteenths: int) -> str:
    if unit == LengthUnit.MM:
        return f"{plain_number(Decimal(steps) / 10)} mm"
    sign, parts = ("-" if steps < 0 else ""), abs(steps)
    whole, rest = divmod(parts, sixteenths)
    fraction = Fraction(rest, sixteenths)
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(f"{fraction.numerator}/{fraction.denominator}")
    return f"{sign}{' '.join(words)} in"


def show_weight(g: Decimal | float, unit: str = "g") -> str:
    """Write a weight for reading: ``1440 g``, or ``3 lb 2.8 oz``.

    Parameters
    ----------
    g
        Grams.
    unit
        ``g`` or ``lb``; from 10 kg up, ``g`` is shown as kilograms.

    Returns
    -------
    str
        Below 100 g to a tenth of a gram, below 10 kg to a gram, from there to 10 g; pounds to a tenth of an ounce.

    Raises
    ------
    UnreadableMeasure
        The unit is neither.
    """
    exact = Decimal(str(g))
    if unit == WeightUnit.GRAM:
        if abs(exact) >= 10000:
            return f"{(exact / 1000).quantize(Decimal('0.01'), ROUND_HALF_EVEN)} kg"
        return f"{plain_number(exact.quantize(Decimal(1) if abs(exact) >= 100 else Decimal('0.1'), ROUND_HALF_EVEN))} g"
    if unit != WeightUnit.POUND:
        raise UnreadableMeasure(f"Weights are shown in g or lb, not “{unit}”.")
    # Rounded to tenths of an ounce before pounds are taken out, so that 15.96 oz becomes 1 lb and not 16 oz.
    tenths = int((exact / G_PER_OUNCE * 10).to_integral_value(ROUND_HALF_EVEN))
    sign, tenths = ("-" if tenths < 0 else ""), abs(tenths)
    pounds, rest = divmod(tenths, 160)
    ounces = plain_number(Decimal(rest) / 10)
    return f"{sign}{pounds} lb {ounces} oz" if pounds else f"{sign}{ounces} oz"
