"""Pressure on the foam on each side of the box, worked out beside the code, and the foam that is there."""

from dataclasses import replace

import pytest

from packing.insert import Contact, contact_notes, contacts, make_insert
from packing.materials import PE_FOAM
from packing.measure import Order, Tool
from packing.plan import render
from packing.plan.kinds import FoamVerdict, Side
from packing.pose import part_weights_mg
from tests.packing.insert_zoo import AXE, HAMMER, TIN, laid, order_of
from tests.packing.outlined import axe, hammer

G = 9.80665


def on_each_side(order: Order, pose: str = "flat", gross_mg: int = 3_000_000) -> dict[Side, Contact]:
    nesting = laid(order, [(0, pose, 0)])
    insert = make_insert(order, nesting, PE_FOAM)
    return {one.side: one for one in contacts(order, nesting, insert, gross_mg)}


def test_a_tin_presses_with_its_weight_over_the_side_that_is_down() -> None:
    found = on_each_side(order_of({**TIN, "length": 80, "width": 50, "height": 30, "weight_g": 240}), "block")
    kilopascals = {side: one.stress_pa / 1000 for side, one in found.items()}
    assert kilopascals[Side.BOTTOM] == kilopascals[Side.TOP] == pytest.approx(0.24 * G / (80 * 50) * 1000, rel=1e-3)
    assert kilopascals[Side.LEFT] == pytest.approx(0.24 * G / (50 * 30) * 1000, rel=1e-3)
    assert kilopascals[Side.FRONT] == pytest.approx(0.24 * G / (80 * 30) * 1000, rel=1e-3)


def test_a_hammer_presses_its_crown_and_its_shoulders_along_the_handle() -> None:
    order = order_of(HAMMER)
    tool = order.items[0]
    assert isinstance(tool, Tool)
    found = on_each_side(order)
    weight = tool.weight_mg / 1e6 * G
    crown = 0.6 * tool.head_length_um * tool.head_width_um / 1e12
    shoulders = crown - tool.handle_width_um * tool.handle_thickness_um / 1e12
    assert found[Side.LEFT].stress_pa == pytest.approx(weight / crown, rel=1e-3)
    assert found[Side.RIGHT].stress_pa == pytest.approx(weight / shoulders, rel=1e-3)


def test_on_its_face_head_and_handle_share_the_weight_without_lifting_off() -> None:
    """By moments about the crown: whatever line the pressure follows, it carries the tool's weight at its centre."""
    order = order_of(HAMMER)
    tool = order.items[0]
    assert isinstance(tool, Tool)
    head_mg, handle_mg = map(float, part_weights_mg(tool))
    face = 0.6 * tool.head_height_um * tool.head_width_um / 1e12
    alone = (head_mg + handle_mg) / 1e6 * G / face
    head_only = head_mg / 1e6 * G / face
    stress = on_each_side(order)[Side.FRONT].stress_pa
    assert head_only * 0.5 < stress < alone * 2
    lighter = order_of({**HAMMER, "handle_thickness": 12})
    assert on_each_side(lighter)[Side.FRONT].stress_pa > stress


def test_an_axe_bears_on_half_of_what_a_hammer_does() -> None:
    axe, hammer = (order_of({**AXE, "form": form, "sharp": "none"}) for form in ("axe", "hammer"))
    assert on_each_side(axe)[Side.LEFT].stress_pa == pytest.approx(
        2 * on_each_side(hammer)[Side.LEFT].stress_pa, rel=1e-3
    )


@pytest.mark.parametrize(
    ("meant", "verdict"),
    [(None, "not known"), ((1, 10**6), "within"), ((1, 2), "over"), ((10**6, 10**7), "under")],
)
def test_a_pressure_is_held_against_the_range_of_the_foam(meant: tuple[int, int] | None, verdict: str) -> None:
    order = order_of(HAMMER)
    nesting = laid(order, [(0, "flat", 0)])
    foam = replace(PE_FOAM, stress_pa=meant)
    found = contacts(order, nesting, make_insert(order, nesting, foam), 3_000_000)
    assert {one.verdict for one in found} == {FoamVerdict(verdict)}
    assert bool(contact_notes(found, order, foam)) == (verdict == "over")


def test_foam_to_the_box_is_wall_and_pads() -> None:
    order = order_of({**TIN, "height": 50}, wall=30, base_pad=37, top_pad=25)
    found = on_each_side(order, "block")
    assert found[Side.LEFT].thickness_um == found[Side.BACK].thickness_um == 31_500
    assert (found[Side.BOTTOM].thickness_um, found[Side.TOP].thickness_um) == (37_000, 25_000)


@pytest.mark.parametrize(("base_pad", "said"), [(12, True), (22, True), (23, False), (25, False)])
def test_less_foam_than_a_fall_of_30_inches_asks_for_is_said(base_pad: int, said: bool) -> None:
    """30 in at 115 g press a spring by 0.531 in; at 0.6 of its thickness that is 22.5 mm (derived)."""
    order = order_of(TIN, base_pad=base_pad)
    nesting = laid(order, [(0, "block", 0)])
    found = contacts(order, nesting, make_insert(order, nesting, PE_FOAM), 3_000_000)
    sentences = [render(note) for note in contact_notes(found, order, PE_FOAM)]
    assert any(f"Towards the bottom there is as little as {base_pad} mm" in sentence for sentence in sentences) == said


def test_what_presses_too_much_is_named_with_side_and_both_pressures() -> None:
    order = order_of({**HAMMER, "weight_g": 1560})
    nesting = laid(order, [(0, "flat", 0)])
    insert = make_insert(order, nesting, PE_FOAM)
    (sentence, *_) = [
        render(note) for note in contact_notes(contacts(order, nesting, insert, 3_000_000), order, PE_FOAM)
    ]
    assert "by hammer; it is meant for" in sentence
    assert "8.3 kPa (1.20 psi)" in sentence
    assert "front" in sentence


def test_a_head_in_a_pocket_cut_to_its_outline_bears_on_its_projected_width() -> None:
    rules = {"bite": 1.5, "thin": [3, 6]}
    square, fitted = (on_each_side(order_of(item, **rules)) for item in (without_outline(hammer()), hammer()))
    for side in (Side.FRONT, Side.BACK, Side.LEFT):
        assert fitted[side].stress_pa < square[side].stress_pa
    # Along the handle the crown bears alone: 0.6 of its rectangle in a square pocket, all of it in one cut to it.
    assert fitted[Side.LEFT].stress_pa == pytest.approx(0.6 * square[Side.LEFT].stress_pa, rel=1e-3)
    assert fitted[Side.BOTTOM].stress_pa == square[Side.BOTTOM].stress_pa


def test_an_outline_helps_a_blade_less_than_a_hammer() -> None:
    square, fitted = (on_each_side(order_of(item)) for item in (without_outline(axe()), axe()))
    assert fitted[Side.LEFT].stress_pa == pytest.approx(0.3 / 0.5 * square[Side.LEFT].stress_pa, rel=1e-3)


def without_outline(item: dict[str, object]) -> dict[str, object]:
    return {key: value for key, value in item.items() if key != "outline"}


def test_what_presses_too_much_is_told_what_helps_in_order() -> None:
    foam = replace(PE_FOAM, stress_pa=(500, 2_000))
    said = []
    for item in (without_outline(hammer()), hammer()):
        order = order_of(item, bite=1.5, thin=[3, 6])
        nesting = laid(order, [(0, "flat", 0)])
        found = contacts(order, nesting, make_insert(order, nesting, foam), 3_000_000)
        over = [one for one in found if one.verdict is FoamVerdict.OVER]
        assert over
        for one in over:
            assert one.plate is not None
            # As large as the foam needs for what presses, and it reaches beyond the head.
            assert one.plate.length_um * one.plate.width_um >= 36_000 * 36_000
        said.append(" ".join(render(note) for note in contact_notes(found, order, foam)))
    assert "Give the tool its outline, or put a plate between steel and foam there (for hammer plywood of" in said[0]
    assert "Give the tool its outline" not in said[1]
    assert "Put a plate between steel and foam there" in said[1]


def test_a_handle_that_lies_along_the_foam_shares_the_load_with_its_head() -> None:
    tops = {}
    for name, sheets in {"joint under the handle": [9.5, 23], "no joint": [42]}.items():
        order = order_of(HAMMER, sheets=sheets, bite=1.5, thin=[30])
        nesting = laid(order, [(0, "flat", 0)])
        insert = make_insert(order, nesting, PE_FOAM)
        assert not insert.rests
        found = {one.side: one for one in contacts(order, nesting, insert, 3_000_000)}
        tops[name] = found[Side.BOTTOM].stress_pa
    # All along its handle it does not tip; on its head alone the edge next to the handle is pressed more.
    assert tops["joint under the handle"] < 0.7 * tops["no joint"]
