"""Figures on the drawings are the plan's own."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from msgspec.structs import replace

from packing.draw import (
    alike,
    blank_drawing,
    id_runs,
    plan_view,
    sheet_drawing,
    side_section,
    small_box,
    together,
)
from packing.draw.canvas import lines_of, text_width
from packing.draw.insert_sheet import _listed
from packing.draw.scale import View
from packing.plan import PocketPlan
from packing.plan.kinds import Part
from packing.units import show_between, show_length
from tests.helpers import present
from tests.packing.drawn_zoo import planned, sample
from tests.packing.svg_reader import texts, words


def shown(um: Any, unit: str = "mm") -> Any:
    return show_length(um / 1000, unit).removesuffix(f" {unit}")


def edges_of(pockets: Any, unit: Any) -> Any:
    """Figures for the outer edges of pockets: those of every head and block, and a handle's far end and sides."""
    figures = set()
    for pocket in pockets:
        own = [other for other in pockets if other.item == pocket.item and other is not pocket]
        for axis in (0, 1):
            for value in (pocket.min_um[axis], pocket.max_um[axis]):
                inside = any(other.min_um[axis] < value < other.max_um[axis] for other in own)
                if not inside:
                    figures.add(shown(value, unit))
    return figures


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("plan", [sample(), planned(6)], ids=["sample", "six"])
def test_a_sheet_carries_a_figure_for_every_cut(plan: Any, unit: Any) -> None:
    for sheet in plan.insert.sheets:
        figures = words(sheet_drawing(plan, sheet.id, unit=unit))
        assert edges_of(sheet.pockets, unit) <= set(figures)
        assert {shown(side, unit) for side in sheet.size_um} <= set(figures)


@pytest.mark.parametrize("plan", [sample(), planned(6), planned(14, 2)], ids=["sample", "six", "fourteen"])
def test_a_sheet_states_the_size_of_every_pocket(plan: Any) -> None:
    for sheet in plan.insert.sheets:
        written = " · ".join(words(sheet_drawing(plan, sheet.id)))
        for pocket in sheet.pockets:
            ends = sorted(zip(pocket.min_um, pocket.max_um, strict=True), key=lambda end: end[0] - end[1])
            assert (
                " × ".join(show_between(*(side / 1000 for side in end)).removesuffix(" mm") for end in ends) in written
            )


def test_every_bare_figure_on_a_sheet_is_a_length_of_the_plan() -> None:
    plan = sample()
    for sheet in plan.insert.sheets:
        known = {shown(side) for side in sheet.size_um}
        for pocket in sheet.pockets:
            known |= {shown(value) for corner in (pocket.min_um, pocket.max_um) for value in corner}
        bare = {text for text in words(sheet_drawing(plan, sheet.id)) if text.replace(".", "").isdigit()}
        assert bare == known & bare


def test_a_sheet_says_which_side_is_up_and_which_sheets_are_alike() -> None:
    plan = sample()
    written = words(sheet_drawing(plan, "S3", scale=5))
    assert "S3 · this side up" in written
    assert "S2, S3 · 12 thick · cut 2 · 1 : 5 · mm" in written


@pytest.mark.parametrize(
    ("ids", "written"),
    [(["S1"], "S1"), (["S1", "S2"], "S1, S2"), (["S1", "S4", "S5", "S6"], "S1, S4–S6"), (["P9", "D10"], "P9, D10")],
)
def test_ids_in_a_row_are_written_as_a_run(ids: Any, written: Any) -> None:
    assert id_runs(ids) == written


def test_sheets_alike_are_gathered_from_the_bottom_up() -> None:
    assert alike(sample().insert) == [["S1", "S10"], ["S2", "S3"], ["S4", "S5"], ["S6"], ["S7"], ["S8", "S9"]]


@pytest.mark.parametrize("plan", [sample(), planned(14, 2)], ids=["sample", "fourteen"])
def test_each_sheet_is_drawn_with_all_that_are_cut_like_it(plan: Any) -> None:
    for group in together(plan.insert):
        captions = {next(text for text in words(sheet_drawing(plan, one)) if " thick · " in text) for one in group}
        assert len(captions) == 1
        caption = captions.pop()
        assert caption.startswith(f"{id_runs(group)} · ") or all(f"{one} " in caption for one in group)


def test_sheets_of_two_thicknesses_with_the_same_cuts_are_drawn_once() -> None:
    plan = sample()
    first, second, third, *rest = plan.insert.sheets
    insert = replace(plan.insert, sheets=(first, second, replace(third, thickness_um=25_000), *rest))
    assert ["S2", "S3"] in together(insert)
    assert "S2 12, S3 25 thick · alike: cut together · 1 : 5 · mm" in words(
        sheet_drawing(replace(plan, insert=insert), "S2", scale=5)
    )


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_plan_view_carries_the_inside_and_every_pocket_of_the_layer(unit: Any) -> None:
    plan = sample()
    figures = set(words(plan_view(plan, 0, unit=unit)))
    top = next(sheet for sheet in plan.insert.sheets if sheet.id == "S5")
    pockets = [pocket for pocket in top.pockets if pocket.part != Part.NOTCH]
    assert {shown(508_000, unit), shown(223_000, unit)} <= figures
    assert edges_of(pockets, unit) <= figures


def test_saddles_are_named_under_their_handles() -> None:
    figures = words(plan_view(sample(), 0))
    assert {saddle.id for saddle in sample().insert.saddles if saddle.layer == 0} <= set(figures)


def spans(figures: Any) -> Iterator[Any]:
    """Which sheets a section names: S3 is the third, S8–S9 are the eighth and the ninth."""
    for figure in figures:
        if found := re.fullmatch(r"S(\d+)(?:–S(\d+))?", figure):
            yield range(int(found[1]), int(found[2] or found[1]) + 1)


@pytest.mark.parametrize("across", [False, True])
def test_the_section_names_every_sheet_with_its_thickness(across: Any) -> None:
    plan = sample()
    figures = words(side_section(plan, across=across))
    for at, sheet in enumerate(plan.insert.sheets, start=1):
        assert any(at in span for span in spans(figures)), sheet.id
        assert {shown(sheet.thickness_um), f"{shown(sheet.thickness_um)} each"} & set(figures)


def test_the_section_says_so_where_thicknesses_do_not_add_up_to_the_height() -> None:
    plan = sample()
    assert not any("thickness of their stock" in text for text in words(side_section(plan)))
    assert any("thickness of their stock" in text for text in words(side_section(plan, unit="in")))


def test_the_section_carries_the_heights_of_the_layers() -> None:
    figures = words(side_section(sample()))
    assert {"0", "25", "73", "85", "147", "172"} <= set(figures)


def test_many_thin_sheets_are_named_together() -> None:
    plan = planned(24, 3)
    figures = words(side_section(plan, scale=10))
    assert any("–S" in text for text in figures)
    assert any(text.endswith(" each") for text in figures)


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_blank_carries_all_creases_and_panels(unit: Any) -> None:
    blank = present(sample().box.blank)
    figures = set(words(blank_drawing(sample(), unit=unit)))
    for crease in blank.creases:
        axis = 0 if crease.start_um[0] == crease.end_um[0] else 1
        assert shown(crease.start_um[axis], unit) in figures
    assert {shown(side, unit) for side in blank.size_um} <= figures
    assert {panel.name for panel in blank.panels} <= figures
    assert {shown(present(blank.joint).width_um, unit), "C flutes"} <= figures


def test_the_half_slot_beside_the_joint_has_a_figure() -> None:
    blank = present(sample().box.blank)
    half = min(x for x, _y in blank.outline_um if x > present(blank.joint).width_um)
    assert shown(half) == "38.5"
    assert "38.5" in words(blank_drawing(sample(), scale=5))


def test_the_blank_states_the_width_of_its_slots() -> None:
    assert "slots 7 wide" in words(blank_drawing(sample(), scale=5))


def test_the_width_of_the_slots_is_said_where_no_slot_has_room_for_it() -> None:
    assert "slot, 7 wide, cut away" in words(blank_drawing(sample(), scale=20))


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_closed_box_carries_its_outside(unit: Any) -> None:
    assert words(small_box(sample(), unit=unit)) == [shown(side, unit) for side in sample().box.outer_um]


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("plan", [planned(20, 7), planned(12, 5)], ids=["twenty", "twelve"])
def test_figures_above_a_sheet_stand_clear_of_the_lines_of_its_whole_length(plan: Any, unit: Any) -> None:
    length, width = plan.insert.sheets[0].size_um
    for group in alike(plan.insert):
        drawing = sheet_drawing(plan, group[0], unit=unit, scale=10)
        turned = [text for text in texts(drawing) if text.half_height > text.half_width]
        ends = (0.0, length / 10_000)
        above = [text for text in turned if text.y < -width / 10_000]
        assert all(abs(text.x - end) > text.half_width + 0.2 for text in above for end in ends)


def pocket(letter: Any, part: Any, size_um: Any) -> Any:
    return PocketPlan(f"piece {letter}", letter, part, (0, 0), size_um)


def test_notches_of_one_size_are_listed_together() -> None:
    pockets = [pocket(letter, Part.NOTCH, (20_000, 27_000)) for letter in "ACB"]
    assert _listed([*pockets, pocket("D", Part.HEAD, (42_000, 105_000))], View(5, "mm")) == [
        "D head 105 × 42",
        "A, B, C notch 27 × 20",
    ]


def test_a_long_note_is_broken_at_spaces_and_nothing_of_it_is_lost() -> None:
    note = "square: 12 × coated box nail 8d, at 1 3/16, 2 13/16, 4 1/2, 6 1/8, 7 13/16, 9 7/16, 11 13/16"
    lines = lines_of(note, 60)
    assert len(lines) > 1
    assert all(text_width(line) <= 60 for line in lines)
    assert " ".join(lines) == note
