"""Surcharges: which of a service's limits a box passes, each charge counted once, with the mark of each figure."""

import datetime as dt
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from packing.carry.kinds import Measure, Rounding, TriggerSides
from packing.carry.model import Service, Trigger
from packing.plan import Figure, Message, Series, verbatim
from packing.plan.kinds import Packaging
from packing.sureness import Sureness, least_sure


@dataclass(frozen=True, slots=True)
class Reason:
    """One limit that is passed: in words, and where its figure was read, on which day, how sure it is."""

    text: Message
    source: str
    as_of: dt.date | None
    sureness: Sureness


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
    sentence: Message
    minimum_billed: Fraction | None
    reasons: tuple[Reason, ...]

    @property
    def sureness(self) -> Sureness:
        """Of its least sure reason."""
        return least_sure(reason.sureness for reason in self.reasons)


def round_side(value: Fraction, rounding: Rounding | TriggerSides) -> Fraction:
    """One side rounded as a carrier does.

    Parameters
    ----------
    value
        In whole units of the service, greater than 0.
    rounding
        Half up, up, down, or down to a quarter; any other leaves it.

    Returns
    -------
    Fraction
        Whole units or quarters, at least one of them.
    """
    if rounding == Rounding.UP:
        return Fraction(ceil(value))
    if rounding == Rounding.NEAREST:
        return Fraction(max(1, floor(value + Fraction(1, 2))))
    if rounding == Rounding.DOWN:
        return Fraction(max(1, floor(value)))
    if rounding == TriggerSides.DOWN_QUARTER:
        return Fraction(max(1, floor(value * 4)), 4)
    return value


def shown(value: Fraction) -> str:
    """For a sentence: three decimals at most, rounded up, so that what is more than a limit also looks it."""
    whole, thousandths = divmod(ceil(value * 1000), 1000)
    return f"{whole}.{thousandths:03}".rstrip("0").rstrip(".")


def measures_of(sides: tuple[Fraction, ...]) -> dict[Measure, Fraction]:
    """The measures that limits are set on, of three sides with the longest first."""
    longest, second, third = sides
    return {
        Measure.LONGEST: longest,
        Measure.SECOND: second,
        Measure.SUM: longest + second + third,
        Measure.LENGTH_GIRTH: longest + 2 * (second + third),
        Measure.VOLUME: longest * second * third,
    }


WORDS = {
    Measure.LONGEST: Message("the longest side"),
    Measure.SECOND: Message("the second-longest side"),
    Measure.SUM: Message("length, width and height together"),
    Measure.LENGTH_GIRTH: Message("length and girth together"),
    Measure.VOLUME: Message("the volume"),
    Measure.WEIGHT: Message("the weight"),
}


def unit_of(measure: Measure, service: Service) -> str:
    """The unit a measure is shown in."""
    length, weight = service.units
    return {Measure.VOLUME: f"{length}³", Measure.WEIGHT: weight}.get(measure, length)


def _reason(
    trigger: Trigger, service: Service, exact: tuple[Fraction, ...], actual: Fraction, packaging: str
) -> Reason | None:
    """The limit of one trigger, where it is passed."""
    if trigger.measure == Measure.DIMENSIONAL:
        return None
    if trigger.measure == Measure.PACKAGING:
        if packaging == Packaging.CORRUGATED:
            return None
        text = Message("the outside is {packaging}, not corrugated board", packaging=str(packaging))
    else:
        value = _measured(trigger, service, exact, actual)
        if value <= Fraction(trigger.above):
            return None
        unit = unit_of(trigger.measure, service)
        text = Message(
            "{what} is {value}, more than {limit}",
            what=WORDS[trigger.measure],
            value=Figure(shown(value), unit),
            limit=Figure(shown(Fraction(trigger.above)), unit),
        )
    return Reason(
        text,
        trigger.source or service.source,
        trigger.as_of if trigger.source else service.as_of,
        trigger.sureness or service.sureness,
    )


def _measured(trigger: Trigger, service: Service, exact: tuple[Fraction, ...], actual: Fraction) -> Fraction:
    """The measure that a trigger's limit is held against."""
    if trigger.measure == Measure.WEIGHT:
        return actual
    rounding = service.side_rounding if trigger.sides == TriggerSides.AS_SERVICE else trigger.sides
    return measures_of(tuple(round_side(side, rounding) for side in exact))[trigger.measure]


def _flag(name: str, passed: list[tuple[Trigger, Reason]]) -> Flag:
    """One surcharge from all of its limits that are passed."""
    told = list(dict.fromkeys(trigger.consequence for trigger, _ in passed if trigger.consequence))
    # A consequence that is the beginning of another says nothing of its own.
    told = [one for one in told if not any(other != one and other.startswith(one) for other in told)]
    after = [verbatim(one) for one in told]
    if len(passed) > 1:
        after.append(Message("It counts once, at the highest of these."))
    least = [Fraction(trigger.minimum_billed) for trigger, _ in passed if trigger.minimum_billed is not None]
    reasons = tuple(reason for _, reason in passed)
    why = Series(tuple(reason.text for reason in reasons), "; ")
    sentence = (
        Message("{name}: {reasons}. {after}", name=name, reasons=why, after=Series(tuple(after), " "))
        if after
        else Message("{name}: {reasons}.", name=name, reasons=why)
    )
    return Flag(name, sentence, max(least, default=None), reasons)


def flags_of(service: Service, exact: tuple[Fraction, ...], actual: Fraction, packaging: str) -> tuple[Flag, ...]:
    """The surcharges that apply to a box, each once; one that another overrides is left out."""
    passed: dict[str, list[tuple[Trigger, Reason]]] = {}
    for trigger in service.triggers:
        reason = _reason(trigger, service, exact, actual, packaging)
        if reason is not None:
            passed.setdefault(trigger.name, []).append((trigger, reason))
    # What is overridden is left out whichever of the overriding limits is passed.
    overridden = {trigger.overrides for found in passed.values() for trigger, _ in found}
    return tuple(_flag(name, found) for name, found in passed.items() if name not in overridden)
