"""How sure a published value is, and which of several decides."""

from collections.abc import Iterable

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
