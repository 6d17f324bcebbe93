"""Planning an order: asked for, done, checked, stored, and never mixed up with what the order has become since."""

import hashlib
from decimal import Decimal
from typing import Any

import pytest

from shop import adapter
from shop.models import Block, BoxPlan, Document, Job, Order, OrderLine, Parcel, Piece, Product
from shop.services import allocation, jobs, planning
from shop.services.errors import CannotPlan, JobCancelled
from shop.worker import tasks
from tests.shop.conftest import make_piece
from tests.shop.planned import only_plan

pytestmark = pytest.mark.both_databases


@pytest.fixture(autouse=True)
def _no_bell(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jobs, "notify_workers", lambda job_id: True)


@pytest.fixture
def ready(line: OrderLine, piece: Piece) -> Any:
    allocation.allocate(line.order, [(line, piece)])
    return line.order


def change_meanwhile(monkeypatch: Any, change: Any) -> None:
    """Let something happen while the search runs."""
    search = adapter.plan_with_offers

    def slow(*args: Any, **options: Any) -> Any:
        content = search(*args, **options)
        change()
        return content

    monkeypatch.setattr(adapter, "plan_with_offers", slow)


def test_a_plan_is_stored_with_all_it_was_made_from_and_becomes_current(ready: Order) -> None:
    plan = only_plan(planning.plan_now(ready, 1))
    ready.refresh_from_db()
    assert only_plan(ready) == plan
    assert ready.state == "planned"
    assert plan.order_content == adapter.order_file(ready).content
    assert plan.item_sources["CH125-007"]["number"] == 7
    assert (plan.rules["web"], plan.rules["foam"]["name"]) == (25, "PE foam")
    assert plan.content["interior_mm"]
    assert adapter.is_current(ready)


def test_a_plan_comes_with_its_parcel(ready: Order) -> None:
    plan = only_plan(planning.plan_now(ready, 1))
    assert Parcel.objects.get().plan == plan


def test_planning_again_keeps_the_older_plan(ready: Order) -> None:
    first = only_plan(planning.plan_now(ready, 1))
    second = only_plan(planning.plan_now(ready, 1))
    assert list(BoxPlan.objects.order_by("pk")) == [first, second]
    assert only_plan(Order.objects.get()) == second


def test_an_order_that_changed_during_the_search_keeps_no_plan(ready: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    change_meanwhile(monkeypatch, lambda: Piece.objects.update(handle_length=Decimal("260")))
    with pytest.raises(CannotPlan, match="Order 17 changed while its box was planned: plan it again"):
        planning.plan_now(ready, 1)
    assert not BoxPlan.objects.exists()
    assert Order.objects.get().state == "draft"


def test_an_order_whose_piece_was_released_during_the_search_keeps_no_plan(
    ready: Order, monkeypatch: pytest.MonkeyPatch
) -> None:
    change_meanwhile(monkeypatch, lambda: allocation.release_all(ready))
    with pytest.raises(CannotPlan, match="changed while its box was planned"):
        planning.plan_now(ready, 1)


def test_an_order_cancelled_during_the_search_keeps_no_plan(ready: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    change_meanwhile(monkeypatch, lambda: Order.objects.update(state="cancelled"))
    with pytest.raises(CannotPlan, match="changed while its box was planned"):
        planning.plan_now(ready, 1)


def test_a_plan_that_breaks_a_rule_is_refused(ready: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(adapter, "problems", lambda order, plan: ["web: 3 mm too little."])
    with pytest.raises(CannotPlan, match="breaks rules and was not kept: web: 3 mm too little"):
        planning.plan_now(ready, 1)
    assert not BoxPlan.objects.exists()


def test_a_piece_that_fits_no_allowed_box_is_said_with_limit_and_piece(ready: Order) -> None:
    ready.shop.plan_rules["max_interior"] = [200, 200, 200]
    ready.shop.save()
    with pytest.raises(CannotPlan, match="CH125-007"):
        planning.plan_now(ready, 1)


@pytest.mark.parametrize(("unit", "limit"), [("g", "1400\u00a0g"), ("lb", "3\u00a0lb\u00a01.4\u00a0oz")])
def test_a_box_too_heavy_for_the_shop_is_refused_with_the_figures_and_what_to_do(
    ready: Order, unit: Any, limit: Any
) -> None:
    ready.shop.plan_rules["max_gross_g"], ready.shop.weight_unit = 1400, unit
    ready.shop.save()
    with pytest.raises(CannotPlan, match=f"more than the {limit} that the shop's settings allow: take lines out"):
        planning.plan_now(ready, 0.2)
    assert not BoxPlan.objects.exists()


def test_a_box_of_exactly_the_weight_allowed_is_planned(ready: Order) -> None:
    gross = only_plan(planning.plan_now(ready, 0.2)).content["weight"]["gross_g"]
    ready.shop.plan_rules["max_gross_g"] = round(gross + 0.1, 1)
    ready.shop.save()
    assert planning.plan_now(ready, 0.2)


def test_a_layer_too_heavy_for_the_shop_is_refused_with_the_piece(ready: Order) -> None:
    ready.shop.plan_rules["max_layer_g"] = 1000
    ready.shop.save()
    with pytest.raises(CannotPlan, match="“CH125-007” weighs 1440\u00a0g, more than a layer may weigh"):
        planning.plan_now(ready, 0.2)


def test_a_search_that_was_stopped_hands_its_job_back_and_stores_nothing(ready: Order) -> None:
    with pytest.raises(JobCancelled):
        planning.plan_now(ready, 1, stop=lambda: True)
    assert not BoxPlan.objects.exists()


def test_a_search_that_was_stopped_spends_no_time_on_offers(ready: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shop.adapter.plans.make_choice", lambda *_: pytest.fail("offers were made"))
    file = adapter.order_file(ready)
    terms = adapter.terms_for(ready, file.stock)
    planned = adapter.plan_with_offers(file, terms, seconds=1, stop=lambda: True)
    assert planned.offers == ()


def test_a_plan_is_asked_for_with_the_time_its_items_need(ready: Order, wax: Block) -> None:
    assert planning.request_plan(ready).payload["seconds"] == 2
    OrderLine.objects.create(order=ready, block=wax, quantity=6)
    assert planning.request_plan(ready).payload["seconds"] == 10


@pytest.mark.parametrize("state", ["packed", "sent", "cancelled"])
def test_a_closed_order_is_not_planned_again(ready: Order, state: Any) -> None:
    ready.state = state
    with pytest.raises(CannotPlan, match=f"Order 17 is {state}: its box is not planned again"):
        planning.request_plan(ready)


def test_papers_are_refused_without_a_plan(ready: Order) -> None:
    with pytest.raises(CannotPlan, match="has no box plan yet"):
        planning.request_papers(ready)


def test_papers_of_an_order_that_changed_since_are_refused(ready: Order) -> None:
    planning.plan_now(ready, 1)
    Piece.objects.update(handle_length=Decimal("260"))
    with pytest.raises(CannotPlan, match="has changed since its box was planned"):
        planning.request_papers(ready)


def test_papers_are_asked_for_on_the_shops_paper_unless_said(ready: Order) -> None:
    plan = only_plan(planning.plan_now(ready, 1))
    assert planning.request_papers(ready).payload == {"plans": [plan.pk], "page_size": "A4"}
    assert planning.request_papers(ready, "Letter").payload["page_size"] == "Letter"


def test_a_planning_job_plans_and_asks_for_the_papers(ready: Order) -> None:
    job = planning.request_plan(ready)
    tasks.run_job(job.pk)
    job.refresh_from_db()
    assert (job.state, job.error) == ("done", "")
    assert job.progress == {"plans": [BoxPlan.objects.get().pk]}
    assert Job.objects.get(kind="papers").state == "waiting"


def test_a_planning_job_whose_order_lost_its_piece_fails_with_the_reason(ready: Order) -> None:
    job = planning.request_plan(ready)
    allocation.release_all(ready)
    tasks.run_job(job.pk)
    job.refresh_from_db()
    assert (job.state, job.error) == ("failed", "“CH125 CH125” wants 1 piece and has 0.")


def test_a_papers_job_prints_every_paper_of_the_plan(ready: Order) -> None:
    planning.plan_now(ready, 1)
    job = planning.request_papers(ready)
    tasks.run_job(job.pk)
    job.refresh_from_db()
    assert (job.state, job.progress) == ("done", {"papers": 3, "of": 3})
    for paper in Document.objects.all():
        assert hashlib.sha256(paper.path.read_bytes()).hexdigest() == paper.sha256
    assert sorted(Document.objects.values_list("kind", flat=True)) == ["box", "insert", "slip"]


def test_a_papers_job_for_an_older_plan_prints_nothing(ready: Order) -> None:
    planning.plan_now(ready, 1)
    job = planning.request_papers(ready)
    planning.plan_now(ready, 1)
    tasks.run_job(job.pk)
    job.refresh_from_db()
    assert job.state == "failed"
    assert "the papers of the newer plan are the right ones" in job.error
    assert not Document.objects.exists()


def test_a_papers_job_for_an_order_that_changed_prints_nothing(ready: Order) -> None:
    planning.plan_now(ready, 1)
    job = planning.request_papers(ready)
    Piece.objects.update(handle_length=Decimal("260"))
    tasks.run_job(job.pk)
    job.refresh_from_db()
    assert "has changed since its box was planned" in job.error


def test_without_a_carrier_the_boxes_offered_come_from_several_nestings(line: OrderLine, product: Product) -> None:
    # Unlike each other, so that there are many ways to lay them even where the machine is slow.
    sizes = [{"head_length": Decimal(105 + 5 * n), "handle_length": Decimal(250 + 17 * n)} for n in range(6)]
    pieces = [make_piece(product, 20 + n, **size) for n, size in enumerate(sizes)]
    OrderLine.objects.filter(pk=line.pk).update(quantity=6)
    line.refresh_from_db()
    allocation.allocate(line.order, [(line, piece) for piece in pieces])
    plan = only_plan(planning.plan_now(Order.objects.get(), 3))
    assert len({adapter.plan_of(offer).items for offer in plan.choices}) > 1


@pytest.mark.parametrize(("rule", "value"), [("stiff_sheet", 6), ("layer_spare", 3), ("max_interior", [700, 400, 300])])
def test_an_optional_rule_of_the_settings_is_in_force_for_the_next_plan(ready: Order, rule: Any, value: Any) -> None:
    before = only_plan(planning.plan_now(ready, 0.2))
    ready.shop.plan_rules[rule] = value
    ready.shop.save()
    assert not adapter.is_current(Order.objects.get())
    assert only_plan(planning.plan_now(ready, 0.2)).content["rules"][rule] == value != before.content["rules"].get(rule)
