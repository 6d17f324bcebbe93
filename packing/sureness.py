"""Sureness of published values, the choice among several of them, and rules with their marks."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from packing.messages import Message


class Sureness(StrEnum):
    """The sureness of a value, surest first.

    Read in the publisher's own text; read on another page; from memory; common practice, no source.
    """

    PRIMARY = "primary"
    SECONDARY = "secondary"
    MEMORY = "memory"
    PRACTICE = "practice"


SURENESS = tuple(Sureness)
"""Surest first."""


def least_sure(levels: Iterable[Sureness]) -> Sureness:
    """The weakest of some levels; what rests on several values is as sure as the least of them.

    Parameters
    ----------
    levels
        At least one.

    Returns
    -------
    Sureness

    Raises
    ------
    ValueError
        No level at all.
    """
    return max(levels, key=SURENESS.index)


@dataclass(frozen=True, slots=True)
class Fact:
    """A rule that counts for what is made, with the mark of its figures.

    Parameters
    ----------
    text
        The rule, for whoever makes or fills it.
    source
        Where it was read, or that it is common practice.
    sureness
        How sure its figures are.
    year
        Of the values, or of the page they were read on; "" where there is none.
    """

    text: Message
    source: str
    sureness: Sureness
    year: str = ""
