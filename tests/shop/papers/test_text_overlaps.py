"""No text of a paper stands on another or leaves its sheet, whatever the order, the box, the paper and the unit."""

import dataclasses
import multiprocessing
import os
from collections import defaultdict
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from math import pi
from typing import Any

import django
import pypdfium2
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
COUNTS = (1, 2, 3, 4, 5, 6, 9, 16)
"""Pieces in an order: most are of a few."""
SHARED = 0.12
"""How much of the smaller of two letters may be covered: what is kerned reaches into its neighbour's box."""
CELL, MARGIN = 24.0, 28.0
"""Of the grid that letters are sorted into, and from the paper's rim to the frame, in points."""
NAMES = ("Rounding hammer", "Carpenter's axe", "Packet of eye wedges, hickory, twenty-four pieces in waxed paper")


@dataclass(frozen=True)
class Letter:
    """One letter's ink, upright boxes alone: its place in the page's text, in points from the lower left corner."""

    at: int
    sign: str
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


def letters_of(page: Any) -> list[Any]:
    """The letters of a page, each in the box of its ink."""
    text = page.get_textpage()
    found = []
    for at in range(text.count_chars()):
        sign = text.get_text_range(at, 1)
        if not sign.strip() or pypdfium2.raw.FPDFText_IsGenerated(text, at):
            continue
        x0, y0, x1, y1 = text.get_charbox(at)
        turned = pypdfium2.raw.FPDFText_GetCharAngle(text, at) % (pi / 2)
        if 0.1 < turned < pi / 2 - 0.1:  # slanted: what its box has in any case
            wide, high = x1 - x0, y1 - y0
            x0, x1, y0, y1 = x0 + 0.3 * wide, x1 - 0.3 * wide, y0 + 0.3 * high, y1 - 0.3 * high
        found.append(Letter(at, sign, x0, y0, x1, y1))
    text.close()
    return found


def clashes(letters: Any) -> Any:
    """Pairs of letters that cover each other; neighbours in one word are the typeface's own affair."""
    cells: Any = defaultdict(list)
    found = []
    for letter in letters:
        near = {
            (column, row)
            for column in range(int(letter.x0 // CELL), int(letter.x1 // CELL) + 1)
            for row in range(int(letter.y0 // CELL), int(letter.y1 // CELL) + 1)
        }
        others = {other for cell in near for other in cells[cell] if letter.at - other.at > 1}
        found += [(other, letter) for other in others if letter.shared(other) > SHARED * min(letter.area, other.area)]
        for cell in near:
            cells[cell].append(letter)
    return found


def strays(letters: Any, size: Any) -> Any:
    """Letters that stand beyond the frame of a page."""
    width, height = size
    return [
        letter
        for letter in letters
        if letter.x0 < MARGIN or letter.y0 < MARGIN or letter.x1 > width - MARGIN or letter.y1 > height - MARGIN
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
        for number, letters, paper in pages_of(print_paper(kind, plan, context_of(plan, size, units)).pdf):
            if found := clashes(letters) + strays(letters, paper):
                yield kind, number, found[:3]


def pages_of(pdf: Any) -> Iterator[Any]:
    """The pages of a file: number, letters, width and height."""
    with pypdfium2.PdfDocument(pdf) as document:
        for number, page in enumerate(document, start=1):
            yield number, letters_of(page), page.get_size()
            page.close()


def troubles_of_order(order: Any) -> Any:
    """The same of every paper of one generated order, for each paper size and unit."""
    plan = plan_of(COUNTS[order % len(COUNTS)], order, CODES[order % len(CODES)])
    return [(order, size, units.length, *trouble) for size, units in READERS for trouble in troubles(plan, size, units)]


@pytest.mark.parametrize(("size", "units"), READERS)
@pytest.mark.parametrize(
    ("count", "seed", "code"), [(1, 0, "carton"), (1, 1, "sliding"), (4, 2, "0201"), (9, 3, "ply cased")]
)
def test_no_text_overlaps_on_the_papers_of_an_order(count: Any, seed: Any, code: Any, size: Any, units: Any) -> None:
    assert not list(troubles(plan_of(count, seed, code), size, units))


def test_a_sheet_with_many_places_stays_clear_of_the_title_block() -> None:
    """Its figures take more room than the sheet, and at some scales more than at larger ones."""
    plan = plan_of(9, 30, CODES[30 % len(CODES)])
    pdf = print_paper("insert", plan, context_of(plan, "A4", Units("in", "lb"))).pdf
    assert not [found for _, letters, size in pages_of(pdf) for found in clashes(letters) + strays(letters, size)]


def sizes_of(page: Any) -> Any:
    """The letters of a page by the size of their type, in points."""
    text = page.get_textpage()
    sizes: Any = defaultdict(str)
    for at in range(text.count_chars()):
        turn = pypdfium2.raw.FS_MATRIX()
        pypdfium2.raw.FPDFText_GetMatrix(text, at, turn)
        grown = abs(turn.a * turn.d - turn.b * turn.c) ** 0.5
        sizes[round(pypdfium2.raw.FPDFText_GetFontSize(text, at) * grown, 1)] += text.get_text_range(at, 1)
    text.close()
    return sizes


@pytest.mark.parametrize(("size", "units"), READERS[:1] + READERS[-1:])
@pytest.mark.parametrize("kind", ["insert", "box"])
def test_nothing_on_a_bench_paper_is_smaller_than_9_points_and_figures_are_of_12(
    kind: Any, size: Any, units: Any
) -> None:
    """Figures that are cut by: those of the drawings and those in columns of their own."""
    plan = plan_of(4, 2, "ply cased")
    with pypdfium2.PdfDocument(print_paper(kind, plan, context_of(plan, size, units)).pdf) as document:
        pages = [sizes_of(page) for page in document]
    assert not [signs for sizes in pages for points, signs in sizes.items() if points < 9 and signs.strip()]
    figures = "".join(sizes[12.0] for sizes in pages)
    assert sum(sign.isdecimal() for sign in figures) > 100


@pytest.mark.parametrize("left", ["30mm", "31mm"])
@pytest.mark.parametrize("turn", [0, -90, 30])
def test_two_texts_in_one_place_are_found(left: Any, turn: Any) -> None:
    from shop.papers.pdf import print_html

    place = f"<p style='position:absolute;top:40mm;left:{{}};transform:rotate({turn}deg)'>{{}}</p>"
    html = place.format("30mm", "17 3/4") + place.format(left, "14 9/16")
    ((_, letters, _),) = pages_of(print_html(html).pdf)
    assert clashes(letters)


def test_a_text_beyond_the_frame_is_found() -> None:
    from shop.papers.pdf import print_html

    html = "<p style='position:absolute;top:40mm;left:-20mm'>17 3/4</p>"
    ((_, letters, paper),) = pages_of(print_html(html).pdf)
    assert not clashes(letters)
    assert strays(letters, paper)


@pytest.mark.slow
def test_no_text_overlaps_on_any_paper_of_200_orders() -> None:
    own = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(os.cpu_count(), own, initializer=django.setup) as processes:
        found = [trouble for some in processes.map(troubles_of_order, range(ORDERS)) for trouble in some]
    assert not found, found[:20]
