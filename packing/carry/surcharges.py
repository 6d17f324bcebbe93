"""Surcharges: which of a service's limits a box passes, each charge counted once, with the mark of each figure."""

import datetime as dt
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import Any

from packing.carry.model import Service, Trigger
from packing.sureness import least_sure


@dataclass(frozen=True, slots=True)
class Reason:
    """One limit that is passed: in words, and where its figure was read, on which day, how sure it is."""

    text: str
    source: str
    as_of: dt.date | None
    sureness: str


@dataclass(frozen=True, slots=True)
class Flag:
    """A surcharge that applies, charged once however many of its limits are passed.

    Parameters
    ----------
    name
        The carrier's word for it.
    sentence
        Name, reasons and consequence.
    minimum_billed
        The least billed weight it brings; None for none.
    reasons
        Each limit that is passed, at least one.
    """

    name: str
    sentence: str
    minimum_billed: Fraction | None
    reasons: tuple[Reason, ...]

    @property
    def sureness(self) -> str:
        """Of its least sure reason."""
        return least_sure(reason.sureness for reason in self.reasons)


def round_side(value: Fraction, rounding: str) -> Fraction:
    """One side rounded as a carrier does.

    Parameters
    ----------
    value
        In whole units of the service, greater than 0.
    rounding
        "nearest" (half up), "up", "down", "down_quarter"; anything else leaves it.

    Returns
    -------
    Fraction
        Whole units or quarters, at least one of them.
    """
    if rounding == "up":
        return Fraction(ceil(value))
    if rounding == "nearest":
        return Fraction(max(1, floor(value + Fraction(1, 2))))
    if rounding == "down":
        return Fraction(max(1, floor(value)))
    if rounding == "down_quarter":
        return Fraction(max(1, floor(value * 4)), 4)
    return value


def shown(value: Fraction) -> str:
    """For a sentence: three decimals at most, rounded up, so that what is more than a limit also looks it."""
    whole, thousandths = divmod(ceil(value * 1000), 1000)
    return f"{whole}.{thousandths:03}".rstrip("0").rstrip(".")


def measures_of(sides: tuple[Fraction, ...]) -> dict[str, Fraction]:
    """What limits are set on, of three sides with the longest first."""
    longest, second, third = sides
    return {
        "longest": longest,
        "second": second,
        "sum": longest + second + third,
        "length_girth": longest + 2 * (second + third),
        "volume": longest * second * third,
    }


WORDS = {
    "longest": "the longest side",
    "second": "the second-longest side",
    "sum": "length, width and height together",
    "length_girth": "length and girth together",
    "volume": "the volume",
    "weight": "the weight",
}


def unit_of(measure: str, service: Service) -> str:
    """The unit a measure is shown in."""
    length, weight = service.units
    return {"volume": f"{length}³", "weight": weight}.get(measure, length)


def _reason(
    trigger: Trigger, service: Service, exact: tuple[Fraction, ...], actual: Fraction, packaging: str
) -> Reason | None:
    """The limit of one trigger, where it is passed."""
    if trigger.measure == "dimensional":
        return None
    if trigger.measure == "packaging":
        if packaging == "corrugated":
            return None
        text = f"the outside is {packaging}, not corrugated board"
    else:
        value = actual
        if trigger.measure != "weight":
            sides = tuple(round_side(side, trigger.sides or service.side_rounding) for side in exact)
            value = measures_of(sides)[trigger.measure]
        if value <= Fraction(trigger.above):
            return None
        unit = unit_of(trigger.measure, service)
        text = f"{WORDS[trigger.measure]} is {shown(value)} {unit}, more than {shown(Fraction(trigger.above))} {unit}"
    return Reason(
        text,
        trigger.source or service.source,
        trigger.as_of if trigger.source else service.as_of,
        trigger.sureness or service.sureness,
    )


def _flag(name: str, passed: list[tuple[Trigger, Reason]]) -> Flag:
    """One surcharge from all of its limits that are passed."""
    told = list(dict.fromkeys(trigger.consequence for trigger, _ in passed if trigger.consequence))
    told = [one for one in told if not any(other != one and other.startswith(one) for other in told)]
    if len(passed) > 1:
        told.append("It counts once, at the highest of these.")
    least = [Fraction(trigger.minimum_billed) for trigger, _ in passed if trigger.minimum_billed is not None]
    reasons = tuple(reason for _, reason in passed)
    sentence = " ".join([f"{name}: {'; '.join(reason.text for reason in reasons)}.", *told])
    return Flag(name, sentence, max(least, default=None), reasons)


def flags_of(service: Service, exact: tuple[Fraction, ...], actual: Fraction, packaging: str) -> tuple[Flag, ...]:
    """The surcharges that apply to a box, each once; one that another overrides is left out."""
    passed: dict[str, list[tuple[Trigger, Reason]]] = {}
    for trigger in service.triggers:
        reason = _reason(trigger, service, exact, actual, packaging)
        if reason is not None:
            passed.setdefault(trigger.name, []).append((trigger, reason))
    overridden = {trigger.overrides for found in passed.values() for trigger, _ in found}
    return tuple(_flag(name, found) for name, found in passed.items() if name not in overridden)


def flag_content(flag: Flag) -> dict[str, Any]:
    """A surcharge with the mark of each of its limits."""
    reasons = [
        {
            "text": reason.text,
            "source": reason.source,
            "as_of": reason.as_of.isoformat() if reason.as_of else None,
            "sureness": reason.sureness,
        }
        for reason in flag.reasons
    ]
    return {"name": flag.name, "sentence": flag.sentence, "sureness": flag.sureness, "reasons": reasons}
