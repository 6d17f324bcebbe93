"""Sentences of a service's limits and caps on a box."""

from fractions import Fraction

from packing.carry.kinds import Measure
from packing.carry.model import Service
from packing.carry.surcharges import WORDS, shown, unit_of
from packing.plan import Figure, Message, verbatim


def capped(service: Service, dimensional: Fraction | None) -> tuple[Fraction, tuple[Message, ...]]:
    """The dimensional weight that counts under the service's caps, and a sentence for each that holds."""
    counted, said = dimensional or Fraction(0), []
    for trigger in service.triggers:
        if trigger.maximum_billed is None or counted <= Fraction(trigger.above):
            continue
        most = Fraction(trigger.maximum_billed)
        sentence = Message(
            "Its dimensional weight is {weight}; {most} are billed.",
            weight=billed_weight(counted, service),
            most=billed_weight(most, service),
        )
        if trigger.consequence:
            sentence = Message("{sentence} {after}", sentence=sentence, after=verbatim(trigger.consequence))
        said.append(sentence)
        # A cap of one trigger is what the next one sees: the lowest holds.
        counted = most
    return counted, tuple(said)


def billed_weight(value: Fraction, service: Service) -> Figure:
    """A weight in the unit that the service bills in."""
    return Figure(shown(value), service.units[1])


def beyond_prices(service: Service, billed: Fraction) -> tuple[Message, ...]:
    """A sentence where the billed weight is more than the service takes, so that it has no price for it."""
    if service.max_weight is None or billed <= Fraction(service.max_weight):
        return ()
    return (
        Message(
            "{billed} are billed, but {carrier} {service} takes {most} at most: ask the carrier what it charges.",
            billed=billed_weight(billed, service),
            carrier=service.carrier,
            service=service.service,
            most=billed_weight(Fraction(service.max_weight), service),
        ),
    )


def over_limits(service: Service, measures: dict[Measure, Fraction], actual: Fraction) -> tuple[Message, ...]:
    """A sentence for each limit of the service that a box passes: with any of them it is not taken."""
    limits = (
        (Measure.WEIGHT, actual, service.max_weight),
        (Measure.LONGEST, measures[Measure.LONGEST], service.max_length),
        (Measure.LENGTH_GIRTH, measures[Measure.LENGTH_GIRTH], service.max_length_girth),
    )
    return tuple(
        Message(
            "{carrier} {service} does not take it: {what} is {value}, at most {limit}.",
            carrier=service.carrier,
            service=service.service,
            what=WORDS[measure],
            value=Figure(shown(value), unit_of(measure, service)),
            limit=Figure(shown(Fraction(limit)), unit_of(measure, service)),
        )
        for measure, value, limit in limits
        if limit is not None and value > Fraction(limit)
    )
