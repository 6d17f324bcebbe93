"""Rules of an order that ask for less foam than is common practice, so that it is said and not silently so."""

from packing.measure.model import Order, Tool
from packing.measure.rules import Rules
from packing.messages import Length, Message, Weight
from packing.sureness import Fact, Sureness

WEB_ROWS_UM: tuple[tuple[int | None, int], ...] = ((1_000_000, 25_000), (3_000_000, 40_000), (None, 50_000))
"""Web beside a tool up to so many milligrams; the last row has no end."""
WALL_UM = 25_000
"""Foam to the outside, on any side."""
HEAVY_MG = 1_000_000
"""A heavier tool wants more foam under it."""
UNDER_HEAVY_UM = 50_000
"""Foam under a tool that is heavier than that."""
SOURCE = "common practice at packing benches, no source"

_WALL = "The wall is {has}; {usual} are usual for a wall to the outside."
_WEB = "The web is {has}; {usual} are usual for a web beside {weight}."
_BASE_PAD = "The base pad is {has}; {usual} are usual for foam under {weight}."


def web_for(weight_mg: int) -> int:
    """The web that is common practice beside a tool of a weight, in micrometres."""
    return next(web for most, web in WEB_ROWS_UM if most is None or weight_mg <= most)


def below_practice(order: Order) -> tuple[Fact, ...]:
    """Each rule of an order that asks for less foam than is common practice beside its heaviest tool.

    Parameters
    ----------
    order
        With its rules; an order without tools is held to the outside walls alone.

    Returns
    -------
    tuple of Fact
        Empty where the rules ask for as much or more. They are facts, not warnings: a shop may know its foam better.
    """
    rules: Rules = order.rules
    heaviest = max((item.weight_mg for item in order.items if isinstance(item, Tool)), default=0)
    wants = [(_WALL, rules.wall_um, WALL_UM)]
    if heaviest:
        wants.insert(0, (_WEB, rules.web_um, web_for(heaviest)))
    if heaviest > HEAVY_MG:
        wants.append((_BASE_PAD, rules.base_pad_um, UNDER_HEAVY_UM))
    return tuple(
        Fact(_sentence(template, has, usual, heaviest), SOURCE, Sureness.PRACTICE)
        for template, has, usual in wants
        if has < usual
    )


def _sentence(template: str, has_um: int, usual_um: int, heaviest_mg: int) -> Message:
    beside = {} if template == _WALL else {"weight": Weight(heaviest_mg)}
    return Message(template, has=Length(has_um), usual=Length(usual_um), **beside)
