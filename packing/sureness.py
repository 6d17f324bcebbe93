"""How sure a published value is, which of several decides, and rules with their marks."""

from collections.abc import Iterable
from dataclasses import dataclass

SURENESS = ("primary", "secondary", "memory", "practice")
"""Surest first: read in the publisher's own text, read on another page, from memory, common practice, no source."""


def least_sure(levels: Iterable[str]) -> str:
    """The weakest of some levels; what rests on several values is as sure as the least of them.

    Parameters
    ----------
    levels
        Of `SURENESS`, at least one.

    Returns
    -------
    str

    Raises
    ------
    ValueError
        A level that is not of `SURENESS`, or none at all.
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
        Of `SURENESS`.
    year
        Of the values, or of the page they were read on; "" where there is none.
    """

    text: str
    source: str
    sureness: str
    year: str = ""


def fact_content(fact: Fact) -> dict[str, str]:
    """A fact as plain JSON."""
    return {"text": fact.text, "source": fact.source, "year": fact.year, "sureness": fact.sureness}
