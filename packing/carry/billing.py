"""What a carrier charges for: sides and weights rounded by its rules, exactly."""

import datetime as dt
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil
from typing import Any

from packing.carry.model import Service
from packing.carry.surcharges import WORDS, Flag, flag_content, flags_of, measures_of, round_side, shown, unit_of
from packing.measure import BadInput
from packing.units import LENGTH_UNITS, WEIGHT_UNITS

UM_PER = {unit: Fraction(LENGTH_UNITS[unit]) * 1000 for unit in ("in", "cm")}
MG_PER = {unit: Fraction(WEIGHT_UNITS[unit]) * 1000 for unit in ("lb", "kg")}
GROWTH_UM = 6_000
"""A filled, taped box grows by 3 to 6 mm a side (common practice, no source)."""


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
        The greatest of the actual weight, the dimensional one up to the rule's cap, and every least billed weight.
    flags
        Surcharges that apply, each once.
    over
        Sentences, one for each limit that is passed; with any the service does not take the box.
    notes
        Sentences on the billed weight: where a rule caps it, or where the service's prices end below it.
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
    notes: tuple[str, ...] = ()
    hint: str = ""

    @property
    def published(self) -> str:
        """How old the rule is, and that it is to be checked."""
        as_of = self.service.as_of
        when = f"as of {as_of.isoformat()}" if as_of else "on an undated page"
        return f"Published {when}: check before quoting."


def _up(value: Fraction, step: Fraction) -> Fraction:
    return ceil(value / step) * step


def _capped(service: Service, dimensional: Fraction | None) -> tuple[Fraction, tuple[str, ...]]:
    """What dimensional weight counts for under the service's caps, and a sentence for each that holds."""
    counted, said = dimensional or Fraction(0), []
    for trigger in service.triggers:
        if trigger.maximum_billed is None or counted <= Fraction(trigger.above):
            continue
        unit = service.units[1]
        said.append(
            f"Its dimensional weight is {shown(counted)} {unit}; {shown(Fraction(trigger.maximum_billed))} {unit} "
            f"are billed.{f' {trigger.consequence}' if trigger.consequence else ''}"
        )
        counted = Fraction(trigger.maximum_billed)
    return counted, tuple(said)


def _beyond_prices(service: Service, billed: Fraction) -> tuple[str, ...]:
    """A sentence where the billed weight is more than the service takes, so that it has no price for it."""
    if service.max_weight is None or billed <= Fraction(service.max_weight):
        return ()
    unit = service.units[1]
    return (
        f"{shown(billed)} {unit} are billed, but {service.carrier} {service.service} takes "
        f"{shown(Fraction(service.max_weight))} {unit} at most: ask the carrier what it charges.",
    )


def _over(service: Service, measures: dict[str, Fraction], actual: Fraction) -> tuple[str, ...]:
    limits = (
        ("weight", actual, service.max_weight),
        ("longest", measures["longest"], service.max_length),
        ("length_girth", measures["length_girth"], service.max_length_girth),
    )
    return tuple(
        f"{service.carrier} {service.service} does not take it: {WORDS[name]} is {shown(value)} "
        f"{unit_of(name, service)}, at most {shown(Fraction(limit))} {unit_of(name, service)}."
        for name, value, limit in limits
        if limit is not None and value > Fraction(limit)
    )


def _bill(outer_um: tuple[int, ...], gross_mg: int, service: Service, packaging: str) -> Bill:
    length_unit, weight_unit = service.units
    exact = tuple(sorted((side / UM_PER[length_unit] for side in outer_um), reverse=True))
    longest, second, third = (round_side(side, service.side_rounding) for side in exact)
    measures = measures_of((longest, second, third))
    actual = gross_mg / MG_PER[weight_unit]
    step = Fraction(service.weight_step)
    rounded = _up(actual, step)
    dimensional_exact = dimensional = None
    if service.divisor is not None and measures["volume"] > Fraction(service.dim_threshold):
        dimensional_exact = measures["volume"] / Fraction(service.divisor)
        dimensional = _up(dimensional_exact, step)
    flags = flags_of(service, exact, actual, packaging)
    least = [flag.minimum_billed for flag in flags if flag.minimum_billed is not None]
    if service.min_billable is not None:
        least.append(Fraction(service.min_billable))
    counted, notes = _capped(service, dimensional)
    billed = max([rounded, counted, *least])
    return Bill(
        service=service,
        sides=(longest, second, third),
        length_plus_girth=measures["length_girth"],
        volume=measures["volume"],
        actual=actual,
        actual_rounded=rounded,
        dimensional_exact=dimensional_exact,
        dimensional=dimensional,
        billed=billed,
        flags=flags,
        over=_over(service, measures, actual),
        notes=(*notes, *_beyond_prices(service, billed)),
    )


def _hint(answer: Bill, grown: Bill, *, thick: bool) -> str:
    changes = []
    if grown.billed != answer.billed:
        changes.append(f"the billed weight is {shown(grown.billed)} {answer.service.units[1]}")
    now = {flag.name for flag in answer.flags}
    changes += [f"{flag.name} applies" for flag in grown.flags if flag.name not in now]
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
        "surcharges": [flag_content(flag) for flag in answer.flags],
        "over": list(answer.over),
        "notes": list(answer.notes),
        "hint": answer.hint,
        "published": answer.published,
        "source": service.source,
        "sureness": service.sureness,
        "note": service.note,
    }
