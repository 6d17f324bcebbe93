"""What a carrier charges for: sides and weights rounded by its rules, exactly."""

import datetime as dt
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor
from typing import Any

from packing.carry.model import Service, Trigger
from packing.measure import BadInput
from packing.units import LENGTH_UNITS, WEIGHT_UNITS

UM_PER = {unit: Fraction(LENGTH_UNITS[unit]) * 1000 for unit in ("in", "cm")}
MG_PER = {unit: Fraction(WEIGHT_UNITS[unit]) * 1000 for unit in ("lb", "kg")}
GROWTH_UM = 6_000
"""A filled, taped box grows by 3 to 6 mm a side (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Flag:
    """A trigger that applies: its name, a sentence, and the least billed weight it brings."""

    name: str
    sentence: str
    minimum_billed: Fraction | None


@dataclass(frozen=True, slots=True)
class Bill:
    """One box under one service's rules, in the service's units; every number exact.

    Parameters
    ----------
    service
        The row it was worked out with.
    sides
        As the carrier rounds them, longest first.
    length_plus_girth, volume
        Of those sides.
    actual, actual_rounded
        The gross weight, and up to the next step.
    dimensional_exact, dimensional
        Volume by divisor, and up to the next step; None where dimensional weight does not count.
    billed
        The greatest of both and of every least billed weight.
    flags
        Triggers that apply.
    over
        Sentences, one for each limit that is passed; with any the service does not take the box.
    hint
        A sentence where 6 mm of growth would change the billed weight, trip a trigger or pass a limit, else "".
    """

    service: Service
    sides: tuple[Fraction, Fraction, Fraction]
    length_plus_girth: Fraction
    volume: Fraction
    actual: Fraction
    actual_rounded: Fraction
    dimensional_exact: Fraction | None
    dimensional: Fraction | None
    billed: Fraction
    flags: tuple[Flag, ...]
    over: tuple[str, ...]
    hint: str = ""

    @property
    def published(self) -> str:
        """How old the rule is, and that it is to be checked."""
        as_of = self.service.as_of
        when = f"as of {as_of.isoformat()}" if as_of else "on an undated page"
        return f"Published {when}: check before quoting."


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


def _number(value: Fraction) -> str:
    """For a sentence: three decimals at most, rounded up, so that what is more than a limit also looks it."""
    whole, thousandths = divmod(ceil(value * 1000), 1000)
    return f"{whole}.{thousandths:03}".rstrip("0").rstrip(".")


def _up(value: Fraction, step: Fraction) -> Fraction:
    return ceil(value / step) * step


def _measures(sides: tuple[Fraction, ...]) -> dict[str, Fraction]:
    longest, second, third = sides
    return {
        "longest": longest,
        "second": second,
        "sum": longest + second + third,
        "length_girth": longest + 2 * (second + third),
        "volume": longest * second * third,
    }


_WORDS = {
    "longest": "the longest side",
    "second": "the second-longest side",
    "sum": "length, width and height together",
    "length_girth": "length and girth together",
    "volume": "the volume",
    "weight": "the weight",
}


def _unit(measure: str, service: Service) -> str:
    length, weight = service.units
    return {"volume": f"{length}³", "weight": weight}.get(measure, length)


def _flag(
    trigger: Trigger, service: Service, exact: tuple[Fraction, ...], actual: Fraction, packaging: str
) -> Flag | None:
    least = None if trigger.minimum_billed is None else Fraction(trigger.minimum_billed)
    more = f" {trigger.consequence}" if trigger.consequence else ""
    if trigger.measure == "packaging":
        if packaging == "corrugated":
            return None
        return Flag(trigger.name, f"{trigger.name}: the outside is {packaging}, not corrugated board.{more}", least)
    if trigger.measure == "weight":
        value = actual
    else:
        sides = tuple(round_side(side, trigger.sides or service.side_rounding) for side in exact)
        value = _measures(sides)[trigger.measure]
    if value <= Fraction(trigger.above):
        return None
    unit = _unit(trigger.measure, service)
    sentence = (
        f"{trigger.name}: {_WORDS[trigger.measure]} is {_number(value)} {unit}, "
        f"more than {_number(Fraction(trigger.above))} {unit}.{more}"
    )
    return Flag(trigger.name, sentence, least)


def _flags(service: Service, exact: tuple[Fraction, ...], actual: Fraction, packaging: str) -> tuple[Flag, ...]:
    found = [(trigger, _flag(trigger, service, exact, actual, packaging)) for trigger in service.triggers]
    overridden = {trigger.overrides for trigger, flag in found if flag}
    return tuple(flag for trigger, flag in found if flag and trigger.name not in overridden)


def _over(service: Service, measures: dict[str, Fraction], actual: Fraction) -> tuple[str, ...]:
    limits = (
        ("weight", actual, service.max_weight),
        ("longest", measures["longest"], service.max_length),
        ("length_girth", measures["length_girth"], service.max_length_girth),
    )
    return tuple(
        f"{service.carrier} {service.service} does not take it: {_WORDS[name]} is {_number(value)} "
        f"{_unit(name, service)}, at most {_number(Fraction(limit))} {_unit(name, service)}."
        for name, value, limit in limits
        if limit is not None and value > Fraction(limit)
    )


def _bill(outer_um: tuple[int, ...], gross_mg: int, service: Service, packaging: str) -> Bill:
    length_unit, weight_unit = service.units
    exact = tuple(sorted((side / UM_PER[length_unit] for side in outer_um), reverse=True))
    longest, second, third = (round_side(side, service.side_rounding) for side in exact)
    measures = _measures((longest, second, third))
    actual = gross_mg / MG_PER[weight_unit]
    step = Fraction(service.weight_step)
    rounded = _up(actual, step)
    dimensional_exact = dimensional = None
    if service.divisor is not None and measures["volume"] > Fraction(service.dim_threshold):
        dimensional_exact = measures["volume"] / Fraction(service.divisor)
        dimensional = _up(dimensional_exact, step)
    flags = _flags(service, exact, actual, packaging)
    least = [flag.minimum_billed for flag in flags if flag.minimum_billed is not None]
    if service.min_billable is not None:
        least.append(Fraction(service.min_billable))
    return Bill(
        service=service,
        sides=(longest, second, third),
        length_plus_girth=measures["length_girth"],
        volume=measures["volume"],
        actual=actual,
        actual_rounded=rounded,
        dimensional_exact=dimensional_exact,
        dimensional=dimensional,
        billed=max([rounded, dimensional or Fraction(0), *least]),
        flags=flags,
        over=_over(service, measures, actual),
    )


def _hint(answer: Bill, grown: Bill, *, thick: bool) -> str:
    changes = []
    if grown.billed != answer.billed:
        changes.append(f"the billed weight is {_number(grown.billed)} {answer.service.units[1]}")
    now = {flag.name for flag in answer.flags}
    changes += [f"{name} applies" for name in dict.fromkeys(flag.name for flag in grown.flags) if name not in now]
    if grown.over and not answer.over:
        changes.append("the carrier does not take it")
    if not changes:
        return ""
    thickest = ", in the thickest stock allowed," if thick else ""
    return (
        "A filled, taped box grows by 3 to 6 mm a side (common practice, no source): "
        f"at 6 mm{thickest} {' and '.join(changes)}. Measure it after closing."
    )


def bill(
    outer_um: tuple[int, int, int],
    gross_mg: int,
    service: Service,
    *,
    packaging: str = "corrugated",
    on: dt.date | None = None,
    most_um: tuple[int, int, int] | None = None,
) -> Bill:
    """What a service charges a box for.

    Parameters
    ----------
    outer_um
        Outside of the closed box in micrometres, in any order, each greater than 0.
    gross_mg
        Gross weight in milligrams, greater than 0.
    service
        The row in force.
    packaging
        "corrugated", or what the outside is made of: "wood", "metal", "foam".
    on
        Day of sending; None does not look at the row's dates.
    most_um
        Outside in the thickest stock allowed, in the same order of sides, for the hint; None: as `outer_um`.

    Returns
    -------
    Bill
        Exact: whole micrometres and milligrams, and fractions of the service's units.

    Raises
    ------
    BadInput
        A size or weight that is not greater than zero, or a day on which the row is not in force.

    Notes
    -----
    Sides are rounded first; length + girth, volume, limits and triggers use the rounded ones, unless a trigger has a
    way of its own. Every threshold is passed only by more than it. Whole inches stay whole: 304.8 mm is 12 in.
    """
    if min(outer_um) <= 0:
        raise BadInput("outer", f"must be greater than zero each way, not {list(outer_um)} µm.")
    if gross_mg <= 0:
        raise BadInput("gross", f"must be greater than zero, not {gross_mg} mg.")
    if on is not None and not service.valid_on(on):
        until = f" to {service.valid_to}" if service.valid_to else " on"
        raise BadInput(
            "on",
            f"must be a day on which the rule is in force: {service.carrier} {service.service} holds from "
            f"{service.valid_from}{until}, not on {on}.",
        )
    answer = _bill(outer_um, gross_mg, service, packaging)
    grown = tuple(side + GROWTH_UM for side in most_um or outer_um)
    return replace(
        answer, hint=_hint(answer, _bill(grown, gross_mg, service, packaging), thick=most_um not in (None, outer_um))
    )


def _plain(value: Fraction | None) -> int | float | None:
    if value is None:
        return None
    return int(value) if value.denominator == 1 else round(float(value), 4)


def bill_content(answer: Bill) -> dict[str, Any]:
    """A bill as plain JSON, in the service's units, for a plan's `carry` and for screens.

    Parameters
    ----------
    answer
        As `bill` gives it.

    Returns
    -------
    dict
        Numbers are whole where they are whole, else to four decimals.
    """
    service = answer.service
    length_unit, weight_unit = service.units
    return {
        "carrier": service.carrier,
        "service": service.service,
        "valid_from": service.valid_from.isoformat(),
        "valid_to": service.valid_to.isoformat() if service.valid_to else None,
        "as_of": service.as_of.isoformat() if service.as_of else None,
        "length_unit": length_unit,
        "weight_unit": weight_unit,
        "divisor": None if service.divisor is None else _plain(Fraction(service.divisor)),
        "side_rounding": service.side_rounding,
        "weight_step": _plain(Fraction(service.weight_step)),
        "sides": [_plain(side) for side in answer.sides],
        "length_plus_girth": _plain(answer.length_plus_girth),
        "volume": _plain(answer.volume),
        "actual": _plain(answer.actual),
        "actual_rounded": _plain(answer.actual_rounded),
        "dimensional_exact": _plain(answer.dimensional_exact),
        "dimensional": _plain(answer.dimensional),
        "billed": _plain(answer.billed),
        "flags": [flag.sentence for flag in answer.flags],
        "over": list(answer.over),
        "hint": answer.hint,
        "published": answer.published,
        "source": service.source,
        "sureness": service.sureness,
        "note": service.note,
    }
