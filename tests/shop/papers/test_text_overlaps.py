"""No text of a paper stands on another or leaves its sheet, whatever the order, the box, the paper and the unit."""

import dataclasses
import io
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pdfplumber
import pytest

from packing.boxes import Infeasible, all_styles, style_of
from packing.measure import read_order
from packing.plan import Plan
from packing.planning import Terms, candidate_for, candidate_plan, plan_parcel
from shop.papers import ItemName, Units, print_paper
from tests.packing.drawn_zoo import random_order
from tests.shop.papers.test_papers import CONTEXT

KINDS = ("slip", "insert", "box")
CODES = [style.code for style in all_styles()]
READERS = [(size, units) for size in ("A4", "Letter") for units in (Units(), Units("in", "lb"))]
ORDERS = 200
SHARED = 0.12
"""How much of the smaller of two letters may be covered: slanted and kerned ones reach into each other's boxes."""
CELL, MARGIN = 24.0, 28.0
"""Of the grid that letters are sorted into, and from the paper's rim to the frame, in points."""
NAMES = ("Rounding hammer", "Carpenter's axe", "Packet of eye wedges, hickory, twenty-four pieces in waxed paper")


@dataclass(frozen=True)
class Letter:
    """One letter's ink, nearly: its box without what the font keeps above, below and beside it."""

    words: str
    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def area(self) -> Any:
        return max(0.0, self.x1 - self.x0) * max(0.0, self.y1 - self.y0)

    def shared(self, other: Any) -> Any:
        width = min(self.x1, other.x1) - max(self.x0, other.x0)
        height = min(self.y1, other.y1) - max(self.y0, other.y0)
        return max(0.0, width) * max(0.0, height)


def letters_of(page: Any) -> Iterator[Any]:
    """The letters of a page, each in its box."""
    for char in page.chars:
        if not char["text"].strip():
            continue
        x0, y0, x1, y1 = char["x0"], char["top"], char["x1"], char["bottom"]
        wide, high = x1 - x0, y1 - y0
        if all(abs(part) > 0.01 for part in char["matrix"][:4]):  # slanted: what its box has in any case
            x0, x1, y0, y1 = x0 + 0.36 * wide, x1 - 0.36 * wide, y0 + 0.36 * high, y1 - 0.36 * high
        elif char["upright"]:
            x0, x1, y0, y1 = x0 + 0.1 * wide, x1 - 0.1 * wide, y0 + 0.3 * high, y1 - 0.24 * high
        else:
            x0, x1, y0, y1 = x0 + 0.3 * wide, x1 - 0.24 * wide, y0 + 0.1 * high, y1 - 0.1 * high
        yield Letter(char["text"], x0, y0, x1, y1)


def clashes(page: Any) -> Any:
    """Pairs of letters that cover each other."""
    cells: Any = defaultdict(list)
    found = []
    for letter in letters_of(page):
        near = {
            (column, row)
            for column in range(int(letter.x0 // CELL), int(letter.x1 // CELL) + 1)
            for row in range(int(letter.y0 // CELL), int(letter.y1 // CELL) + 1)
        }
        others = {other for cell in near for other in cells[cell]}
        found += [(other, letter) for other in others if letter.shared(other) > SHARED * min(letter.area, other.area)]
        for cell in near:
            cells[cell].append(letter)
    return found


def strays(page: Any) -> Any:
    """Letters that stand beyond the frame."""
    return [
        letter
        for letter in letters_of(page)
        if letter.x0 < MARGIN
        or letter.y0 < MARGIN
        or letter.x1 > page.width - MARGIN
        or letter.y1 > page.height - MARGIN
    ]


def plan_of(count: Any, seed: Any, code: Any) -> Plan:
    """A plan of so many random pieces in a box of a style, or of the next that can be made for them."""
    order = read_order(random_order(count, seed))
    nesting = plan_parcel(order, effort=30, seed=seed).nesting
    first = CODES.index(code)
    for other in (*CODES[first:], *CODES[:first]):
        made = candidate_for(order, nesting, style_of(other), Terms())
        if not isinstance(made, Infeasible):
            return candidate_plan(order, made, Terms())
    raise AssertionError(f"no box at all for {count} pieces, seed {seed}")


def context_of(plan: Any, size: Any, units: Any) -> Any:
    names = tuple(
        ItemName(item.id, NAMES[at % len(NAMES)], f"RH125-{at:03}" if item.letter and at % 4 else "", at)
        for at, item in enumerate(plan.items)
    )
    return dataclasses.replace(CONTEXT, names=names, page_size=size, bench=units, reader=units, demo=True)


def troubles(plan: Any, size: Any, units: Any) -> Iterator[Any]:
    """What stands on something else, or beyond the frame, on each page of each paper."""
    for kind in KINDS:
        with pdfplumber.open(io.BytesIO(print_paper(kind, plan, context_of(plan, size, units)).pdf)) as pdf:
            for page in pdf.pages:
                if found := clashes(page) + strays(page):
                    yield kind, page.page_number, found[:3]


@pytest.mark.parametrize(("size", "units"), READERS)
@pytest.mark.parametrize(("count", "seed", "code"), [(1, 1, "sliding"), (4, 2, "0201"), (9, 3, "ply cased")])
def test_no_text_overlaps_on_the_papers_of_an_order(count: Any, seed: Any, code: Any, size: Any, units: Any) -> None:
    assert not list(troubles(plan_of(count, seed, code), size, units))


def test_two_texts_in_one_place_are_found() -> None:
    html = "<p style='position:absolute;top:30mm;left:30mm'>{}</p>" * 2
    from shop.papers.pdf import print_html

    with pdfplumber.open(io.BytesIO(print_html(html.format("17 3/4", "14 9/16")).pdf)) as pdf:
        assert clashes(pdf.pages[0])


@pytest.mark.slow
def test_no_text_overlaps_on_any_paper_of_200_orders() -> None:
    found = []
    for order in range(ORDERS):
        plan = plan_of(1 + order % 16, order, CODES[order % len(CODES)])
        for size, units in READERS:
            found += [(order, size, units.length, *trouble) for trouble in troubles(plan, size, units)]
    assert not found, found[:20]
