"""Headings of the Harmonized System proposed for tools: always confirmed by a person, never final.

References
----------
Harmonized Tariff Schedule of the United States, chapter 82: 8205.20 hammers and sledge hammers, split at heads of
1.5 kg; read in copies. 8201.40 axes, bill hooks and similar hewing tools, 4417.00 tools and handles of wood: heading
texts read, their use here from memory.
"""

from dataclasses import dataclass

from packing.plan.kinds import Form
from packing.sureness import Sureness


@dataclass(frozen=True, slots=True)
class Heading:
    """One row: what it is for, the six digits, and how a country divides it further.

    Parameters
    ----------
    forms
        Forms of tools it is proposed for.
    wooden
        Whether it is for heads of wood; heads are of steel otherwise.
    most_head_mg
        Heaviest head it holds for, exactly that weight included; None: any.
    six
        The six digits that all countries share, "820520".
    text
        What the heading is called.
    country, longer
        A country that divides it, and its own longer figures, "8205.20.30"; "" where none is known here.
    source, year, sureness
        Where it was read.
    """

    forms: frozenset[Form]
    six: str
    text: str
    source: str
    year: str
    sureness: Sureness
    wooden: bool = False
    most_head_mg: int | None = None
    country: str = ""
    longer: str = ""

    @property
    def dotted(self) -> str:
        """The six digits as they are written, "8205.20"."""
        return f"{self.six[:4]}.{self.six[4:]}"


_US_82 = "Harmonized Tariff Schedule of the United States, chapter 82, read in copies"
_HAMMERS = frozenset({Form.HAMMER, Form.MALLET})
LIGHT_HEAD_MG = 1_500_000
"""The heading for hammers divides here: by the head alone, not by the whole tool."""
HEADINGS = (
    Heading(
        _HAMMERS,
        "820520",
        "hammers and sledge hammers",
        _US_82,
        "2025",
        Sureness.SECONDARY,
        most_head_mg=LIGHT_HEAD_MG,
        country="US",
        longer="8205.20.30",
    ),
    Heading(
        _HAMMERS,
        "820520",
        "hammers and sledge hammers",
        _US_82,
        "2025",
        Sureness.SECONDARY,
        country="US",
        longer="8205.20.60",
    ),
    Heading(
        frozenset({Form.AXE, Form.ADZE}),
        "820140",
        "axes, bill hooks and similar hewing tools",
        "Harmonized System, chapter 82, from memory",
        "2022",
        Sureness.MEMORY,
    ),
    Heading(
        frozenset({Form.MALLET, Form.HAMMER}),
        "441700",
        "tools of wood",
        "Harmonized System, chapter 44, from memory",
        "2022",
        Sureness.MEMORY,
        wooden=True,
    ),
)
"""The first row that fits counts; lighter heads stand before heavier ones."""


def propose_heading(form: Form, head_mg: int | None, *, wooden: bool = False) -> Heading | None:
    """Propose a heading for a tool by its form and the weight of its head, not that of the whole tool.

    Parameters
    ----------
    form
        Of the tool.
    head_mg
        Weight of its head in milligrams; None where it is not known: then no row counts that depends on it.
    wooden
        Whether the head is of wood.

    Returns
    -------
    Heading or None
        None where nothing is known for it. What is proposed is confirmed by a person, each time.
    """
    for row in HEADINGS:
        if form not in row.forms or row.wooden != wooden:
            continue
        if row.most_head_mg is None or (head_mg is not None and head_mg <= row.most_head_mg):
            # Without a weight the row for any weight comes up, and its longer figures would claim a heavy head.
            return _undivided(row) if head_mg is None else row
    return None


def _undivided(row: Heading) -> Heading:
    """A heading without the longer figures that hang on a weight nobody knows."""
    return Heading(row.forms, row.six, row.text, row.source, row.year, row.sureness, wooden=row.wooden)
