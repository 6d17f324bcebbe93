"""Boxes that stock or rules do not allow: one sentence with the limit and the value, and the order as it was."""

from decimal import Decimal
from typing import Any

import pytest

from packing.plan import message_from_json
from packing.plan.kinds import PieceRole
from shop import adapter
from shop.models import Block, BoardRow, BoxPlan, GradeRule, Order, OrderLine, Piece, Shop, WoodRow
from shop.services import allocation, jobs, planning
from shop.worker import tasks
from tests.shop.planned import only_plan


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def ready(line: OrderLine, piece: Piece, stocked: Shop) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return Order.objects.get()


@pytest.fixture
def anvil(order: Order, stocked: Shop) -> Any:
    """An order of one small, heavy block."""
    sizes = {"length": Decimal(200), "width": Decimal(120), "height": Decimal(100)}
    block = Block.objects.create(shop=stocked, name="anvil", **sizes, weight_g=Decimal(12000))
    OrderLine.objects.create(order=order, block=block)
    return order


def no_wood() -> None:
    WoodRow.objects.update(length_mm=Decimal(100), width_mm=Decimal(50))


def refusal_of(order: Any) -> Any:
    """What the failed job says; the order is as it was."""
    before = (order.state, order.consignment_id, BoxPlan.objects.count())
    job = planning.request_plan(order)
    tasks.run_job(job.pk)
    job.refresh_from_db()
    order.refresh_from_db()
    assert job.state == "failed"
    assert (order.state, order.consignment_id, BoxPlan.objects.count()) == before
    return job.error


def reasons(order: Any) -> Any:
    """The reason of each style that could not be made."""
    return {row["style"]: str(message_from_json(row["reason"])) for row in only_plan(order).refused_styles}


def test_contents_too_dense_for_any_box_are_refused_with_pressure_limit_and_the_side_it_needs(anvil: Any) -> None:
    no_wood()
    sentence = refusal_of(anvil)
    assert "fails high density: " in sentence
    assert "lb on a square foot of the smallest side, at most 60. It must have 0." in sentence


def test_contents_too_dense_for_a_box_of_board_go_into_wood_and_the_reason_is_noted(anvil: Any) -> None:
    plan = only_plan(planning.plan_now(anvil, 0.2))
    assert plan.content["box"]["family"] == "wood"
    assert any("fails high density" in note for note in map(str, adapter.plan_of(plan).box.notes))


def test_contents_up_to_fifteen_pounds_may_be_as_dense_as_they_are(anvil: Any) -> None:
    Block.objects.update(weight_g=Decimal(6000))
    assert only_plan(planning.plan_now(anvil, 0.2)).content["box"]["style"] == "0201"


def test_a_wider_wall_gives_dense_contents_the_side_they_need(anvil: Any) -> None:
    bands = [{**band, "wall": 60} for band in anvil.shop.plan_rules["by_head"]]
    anvil.shop.plan_rules["by_head"] = bands
    anvil.shop.save()
    assert only_plan(planning.plan_now(anvil, 0.2)).content["box"]["style"] == "0201"


def test_boards_too_weak_in_every_grade_are_refused_with_the_limit_and_the_best_there_is(ready: Order) -> None:
    no_wood()
    BoardRow.objects.update(burst_psi=100, facings_lb=40, ect_lb_in=20)
    sentence = refusal_of(ready)
    assert "No board in stock passes every rule" in sentence
    assert "board of 175 psi burst; " in sentence
    assert "has 100 psi" in sentence


def test_panels_shorter_than_the_box_are_said_with_both_lengths(ready: Order) -> None:
    WoodRow.objects.update(length_mm=Decimal(300))
    planning.plan_now(ready, 0.2)
    assert "mm along the grain; birch plywood" in reasons(ready)["ply"]
    assert reasons(ready)["ply"].endswith("is 300 mm.")


def test_a_lid_that_may_be_thinner_than_its_tongue_is_said_with_both(ready: Order) -> None:
    WoodRow.objects.filter(processed=True, thickness_mm=9).update(thickness_tolerance_mm=4)
    planning.plan_now(ready, 0.2)
    for style in ("sliding", "sliding cased"):
        assert (
            "a groove of 6 mm takes a tongue of 5.5 mm, birch plywood 9 mm may be as thin as 5 mm"
            in reasons(ready)[style]
        )


def test_an_interior_smaller_than_a_piece_is_refused_with_the_piece(ready: Order) -> None:
    ready.shop.plan_rules["max_interior"] = [200, 200, 200]
    ready.shop.save()
    sentence = refusal_of(ready)
    assert "CH125-007" in sentence
    assert "mm" in sentence


def test_trays_and_wraps_larger_than_the_sheet_are_said_with_size_and_sheet(ready: Order) -> None:
    BoardRow.objects.update(sheet_across_mm=Decimal(480), sheet_along_mm=Decimal(600))
    planning.plan_now(ready, 0.2)
    for style in ("0300", "0300 partial", "wrap"):
        assert f"The {style} blank is " in reasons(ready)[style]
        assert reasons(ready)[style].endswith(("is 480 mm.", "is 600 mm."))


def test_a_slotted_blank_longer_than_the_sheet_is_made_of_two_with_a_second_joint(ready: Order) -> None:
    # No wood, and a sheet that takes no other style: a slotted blank is the least deep along its flutes.
    no_wood()
    BoardRow.objects.update(sheet_across_mm=Decimal(900), sheet_along_mm=Decimal(280))
    box = adapter.plan_of(only_plan(planning.plan_now(ready, 0.2))).box
    assert (box.style, [piece.count for piece in box.pieces if piece.role is PieceRole.HALF_BLANK]) == ("0201", [2])
    assert any("The blank is made of two pieces: the sheet is 900 mm across." in note for note in map(str, box.notes))


def test_a_plan_there_was_stays_the_orders_plan_where_the_new_one_is_refused(ready: Order) -> None:
    plan = only_plan(planning.plan_now(ready, 0.2))
    no_wood()
    GradeRule.objects.filter(kind="dense board").update(burst_psi=900)
    Piece.objects.update(weight_g=1400)
    order = Order.objects.get()
    assert "board of at least 900 psi burst" in refusal_of(order)
    assert only_plan(order) == plan
