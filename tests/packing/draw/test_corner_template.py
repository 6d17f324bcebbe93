"""Corner templates: full size, every screw near an end where its working drawing has it, on both ends."""

from typing import Any

import pytest

from packing.draw.canvas import BLUE
from packing.draw.corner_template import REACH_UM, corner_pages, corner_templates
from tests.packing.drawn_zoo import in_box
from tests.packing.svg_reader import SVG, root_of, words

PAPER = (262.0, 148.0)
WOODEN = ["ply", "boards", "sliding"]


def expected(plan: Any, piece: Any, *, right: Any) -> Any:
    """Places of the holes of a piece near one end, read off the plan."""
    length = piece.size_um[0]
    places = [hole.at_um for hole in piece.holes if not hole.edge]
    from_end = [(length - x if right else x, y) for x, y in places]
    return sorted((x, y) for x, y in from_end if x <= REACH_UM)


@pytest.mark.parametrize("code", WOODEN)
def test_every_screw_near_an_end_is_on_a_template_for_it(code: Any) -> None:
    plan = in_box(code)
    templates = corner_templates(plan)
    assert templates
    for piece in plan.box.pieces:
        own = [one for one in templates if one.piece.id == piece.id]
        left = expected(plan, piece, right=False)
        assert bool(own) == bool(left and piece.role not in ("lid batten", "end cleat"))
        for one in own:
            near = expected(plan, one.piece, right=one.right)
            assert list(one.holes) == near
        if own and not own[0].both:
            assert [one.right for one in own] == [False, True]


@pytest.mark.parametrize("stretch", [1.0, 1.02])
def test_a_template_is_full_size_and_makes_good_what_the_printer_is_out_by(stretch: Any) -> None:
    plan = in_box("ply")
    page = corner_pages(plan, paper=PAPER, stretch=stretch)[0]
    rings = [one for one in root_of(page).iter(f"{SVG}circle") if one.get("stroke") == BLUE]
    first = corner_templates(plan)[0]
    drawn = sorted((float(ring.attrib["cx"]), -float(ring.attrib["cy"])) for ring in rings)[: len(first.holes)]
    for (x, y), (want_x, want_y) in zip(drawn, first.holes, strict=True):
        assert (x, y) == pytest.approx((want_x / 1000 * stretch, want_y / 1000 * stretch), abs=0.01)


@pytest.mark.parametrize("code", WOODEN)
def test_pages_fit_their_paper_and_say_which_piece_and_end(code: Any) -> None:
    plan = in_box(code)
    pages = corner_pages(plan, paper=PAPER)
    assert all(page.width_mm <= PAPER[0] and page.height_mm <= PAPER[1] for page in pages)
    said = " ".join(" ".join(words(page)) for page in pages)
    for one in corner_templates(plan):
        assert f"{one.piece.id} {one.piece.what}" in said


@pytest.mark.parametrize("code", ["0201", "wrap"])
def test_board_has_no_corners_to_prick(code: Any) -> None:
    assert corner_pages(in_box(code), paper=PAPER) == []
