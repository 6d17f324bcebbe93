"""A carrier's bill: sides and weights rounded by its rules, exactly."""

import datetime as dt
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from packing.carry.kinds import Measure
from packing.carry.limits import beyond_prices, billed_weight, capped, over_limits
from packing.carry.model import Service
from packing.carry.surcharges import Flag, flags_of, measures_of, round_side
from packing.measure import BadInput
from packing.plan import Length, Message, Series
from packing.plan.kinds import Packaging
from packing.units import LENGTH_UNITS, WEIGHT_UNITS

UM_PER = {unit: Fraction(LENGTH_UNITS[unit]) * 1000 for unit in ("in", "cm")}
MG_PER = {unit: Fraction(WEIGHT_UNITS[unit]) * 1000 for unit in ("lb", "kg")}
LEAST_GROWTH_UM, MOST_GROWTH_UM = 3_000, 6_000
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
        A sentence where 6 mm of growth would change the billed weight, trip a trigger or pass a limit, else None.
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
    over: tuple[Message, ...]
    notes: tuple[Message, ...] = ()
    hint: Message | None = None

    @property
    def published(self) -> Message:
        """The age of the rule, and that it is to be checked."""
        as_of = self.service.as_of
        if as_of is None:
            return Message("Published on an undated page: check before quoting.")
        return Message("Published as of {day}: check before quoting.", day=as_of.isoformat())


def _up(value: Fraction, step: Fraction) -> Fraction:
    return ceil(value / step) * step


def _bill(outer_um: tuple[int, ...], gross_mg: int, service: Service, packaging: str) -> Bill:
    length_unit, weight_unit = service.units
    # The longest side first, as every carrier names them.
    exact = tuple(sorted((side / UM_PER[length_unit] for side in outer_um), reverse=True))
    longest, second, third = (round_side(side, service.side_rounding) for side in exact)
    measures = measures_of((longest, second, third))
    actual = gross_mg / MG_PER[weight_unit]
    step = Fraction(service.weight_step)
    rounded = _up(actual, step)
    dimensional_exact = dimensional = None
    # By the sides as rounded: that is the volume the carrier sees.
    if service.divisor is not None and measures[Measure.VOLUME] > Fraction(service.dim_threshold):
        dimensional_exact = measures[Measure.VOLUME] / Fraction(service.divisor)
        dimensional = _up(dimensional_exact, step)
    flags = flags_of(service, exact, actual, packaging)
    least = [flag.minimum_billed for flag in flags if flag.minimum_billed is not None]
    if service.min_billable is not None:
        least.append(Fraction(service.min_billable))
    counted, notes = capped(service, dimensional)
    billed = max([rounded, counted, *least])
    return Bill(
        service=service,
        sides=(longest, second, third),
        length_plus_girth=measures[Measure.LENGTH_GIRTH],
        volume=measures[Measure.VOLUME],
        actual=actual,
        actual_rounded=rounded,
        dimensional_exact=dimensional_exact,
        dimensional=dimensional,
        billed=billed,
        flags=flags,
        over=over_limits(service, measures, actual),
        notes=(*notes, *beyond_prices(service, billed)),
    )


_AT_MOST = (
    "A filled, taped box grows by {least} to {most} a side (common practice, no source): at {most} {changes}. Measure "
    "it after closing."
)
_AT_MOST_THICK = (
    "A filled, taped box grows by {least} to {most} a side (common practice, no source): at {most}, in the thickest "
    "stock allowed, {changes}. Measure it after closing."
)


def _hint(answer: Bill, grown: Bill, *, thick: bool) -> Message | None:
    changes = []
    if grown.billed != answer.billed:
        changes.append(Message("the billed weight is {weight}", weight=billed_weight(grown.billed, answer.service)))
    now = {flag.name for flag in answer.flags}
    changes += [Message("{surcharge} applies", surcharge=flag.name) for flag in grown.flags if flag.name not in now]
    if grown.over and not answer.over:
        changes.append(Message("the carrier does not take it"))
    if not changes:
        return None
    template = _AT_MOST_THICK if thick else _AT_MOST
    return Message(
        template,
        least=Length(LEAST_GROWTH_UM),
        most=Length(MOST_GROWTH_UM),
        changes=Series(tuple(changes), " and "),
    )


def bill(
    outer_um: tuple[int, int, int],
    gross_mg: int,
    service: Service,
    *,
    packaging: str = Packaging.CORRUGATED,
    on: dt.date | None = None,
    most_um: tuple[int, int, int] | None = None,
) -> Bill:
    """Bill a box by a service's rules.

    Parameters
    ----------
    outer_um
        Outside of the closed box in micrometres, in any order, each greater than 0.
    gross_mg
        Gross weight in milligrams, greater than 0.
    service
        The row in force.
    packaging
        What the outside is made of; anything but corrugated board, also what no box here is made of, such as metal.
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
    # All three sides at once: which of them bulges is not known.
    grown = tuple(side + MOST_GROWTH_UM for side in most_um or outer_um)
    return replace(
        answer, hint=_hint(answer, _bill(grown, gross_mg, service, packaging), thick=most_um not in (None, outer_um))
    )
