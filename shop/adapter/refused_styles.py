"""Boxes that could not be made for an order, and how a box offered stands beside its like, as rows keep it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import msgspec

from packing.plan import Message, message_from_json, message_to_json
from shop.models import BoxPlan, Offer


@dataclass(frozen=True)
class RefusedStyle:
    """A style of box that could not be made for an order, and why."""

    style: str
    reason: Message


class KeptRefusal(msgspec.Struct, frozen=True):
    """A style that could not be made, as it is stored: its reason as plain JSON."""

    style: str
    reason: object


def refused_of(row: BoxPlan) -> tuple[RefusedStyle, ...]:
    """Read which boxes could not be made when a stored plan was, or the plan it was chosen from.

    Parameters
    ----------
    row
        A stored plan.

    Returns
    -------
    tuple of RefusedStyle
        In the order they were stored.
    """
    found = row.chosen_from or row
    rows = msgspec.convert(found.refused_styles, list[KeptRefusal])
    return tuple(RefusedStyle(row.style, message_from_json(row.reason)) for row in rows)


def kept_sentence(sentence: Message | None) -> Any:
    """Write a sentence as it is stored.

    Parameters
    ----------
    sentence
        None where there is none.

    Returns
    -------
    object
        Plain JSON; "" where there is none.
    """
    return "" if sentence is None else message_to_json(sentence)


def beside_of(row: Offer) -> Message | None:
    """Read the sentence that sets a box that was offered beside its like.

    Parameters
    ----------
    row
        A stored offer.

    Returns
    -------
    Message or None
        None where nothing was said.
    """
    return message_from_json(row.beside) if row.beside else None


def refused_rows(found: Iterable[RefusedStyle]) -> list[dict[str, object]]:
    """Write styles that could not be made as they are stored; `refused_of` reads them again.

    Parameters
    ----------
    found
        The styles, each with its reason.

    Returns
    -------
    list of dict
        Plain JSON values, in the same order.
    """
    rows = [KeptRefusal(one.style, message_to_json(one.reason)) for one in found]
    kept: list[dict[str, object]] = msgspec.to_builtins(rows)
    return kept
