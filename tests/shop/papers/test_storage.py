"""Papers as rows and files: named by content, never twice, in the shop's and the customer's own terms."""

import datetime as dt
import hashlib
import json
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from packing.plan import Message, Refusal, to_json
from packing.plan.kinds import Status
from shop.models import Block, BoxPlan, Customer, Document, Order, Piece
from shop.papers import NoPlan, Units, context_from_plan, render_all
from shop.papers.pdf import Print
from shop.papers.storage import made_from

SAMPLE = Path(__file__).parents[2] / "data" / "papers_plan.json"
HASH = "3fa41c9b" + "0" * 56


@pytest.fixture
def plan(order: Order, piece: Piece, wax: Block) -> Any:
    rows = {
        "CH125-007": {"kind": "piece", "pk": piece.pk, "name": "Big hammer", "number": 7},
        "wax tin": {"kind": "block", "pk": wax.pk, "name": "wax"},
    }
    content = json.loads(SAMPLE.read_text(encoding="utf-8"))
    moment = dt.datetime(2026, 3, 7, 23, 30, tzinfo=dt.UTC)
    with mock.patch("django.utils.timezone.now", return_value=moment):
        return BoxPlan.objects.create(
            order=order,
            content=content,
            order_content={},
            rules={},
            item_sources=rows,
            code_version="0",
            input_hash=HASH,
        )


@pytest.fixture
def _quick_press(monkeypatch: pytest.MonkeyPatch, settings: Any, tmp_path: Path) -> None:
    """Printing is tried elsewhere; here a paper is its kind and page size, and the folder is empty."""
    settings.DATA_DIR, settings.PAPERS_DIR = tmp_path, tmp_path / "papers"
    monkeypatch.setattr(
        "shop.papers.storage.print_paper",
        lambda kind, content, context: Print(f"%PDF {kind} {context.page_size}".encode(), 2),
    )


def test_a_context_takes_names_as_they_were_when_the_plan_was_made(plan: Any) -> None:
    name = context_from_plan(plan).name_of("CH125-007")
    assert (name.name, name.label, name.number) == ("Big hammer", "CH125-007", 7)


def test_a_slip_names_the_country(plan: Any) -> None:
    plan.order.customer.country = "GB"
    assert context_from_plan(plan).customer_address[-1] == "United Kingdom"


def test_two_plans_of_one_order_are_told_apart_on_paper(plan: Any) -> None:
    other = BoxPlan(order=plan.order, content={**plan.content, "seed": 2}, input_hash=HASH)
    assert context_from_plan(plan).plan_hash != other.content_hash


def test_a_head_that_was_never_weighed_is_given_its_nominal_weight(plan: Any) -> None:
    assert context_from_plan(plan).name_of("CH125-007").head_weight_g == 1000


def test_an_item_without_a_row_goes_by_its_id(plan: Any) -> None:
    assert context_from_plan(plan).name_of("AX600-003").name == "AX600-003"


def test_the_date_is_that_of_the_shops_own_clock(plan: Any) -> None:
    assert context_from_plan(plan).date == dt.date(2026, 3, 8)


def test_the_bench_reads_the_shops_units_and_the_slip_the_customers(plan: Any, customer: Customer) -> None:
    customer.length_unit, customer.weight_unit = "in", "lb"
    customer.save()
    plan.order.customer.refresh_from_db()
    context = context_from_plan(plan)
    assert (context.bench, context.reader) == (Units("mm", "g"), Units("in", "lb"))


def test_a_piece_of_another_shop_lends_no_weight(plan: Any, other_forge: Any) -> None:
    plan.item_sources["CH125-007"]["pk"] = Block.objects.count() + 10_000
    assert context_from_plan(plan).name_of("CH125-007").head_weight_g is None


def test_the_parcels_number_is_on_the_papers(plan: Any) -> None:
    plan.parcel_number, plan.parcel_count = 1, 2
    context = context_from_plan(plan)
    assert (context.parcel, context.parcels) == (1, 2)


def test_papers_are_files_named_by_the_hash_of_their_content(plan: Any) -> None:
    for document in render_all(plan):
        data = document.path.read_bytes()
        assert data.startswith(b"%PDF")
        assert document.path.name == hashlib.sha256(data).hexdigest() + ".pdf"


@pytest.mark.usefixtures("_quick_press")
class TestRows:
    def test_each_paper_knows_what_it_was_made_from(self, plan: Any) -> None:
        documents = render_all(plan)
        assert [document.kind for document in documents] == ["slip", "insert", "box"]
        assert {(d.pages, d.page_size, d.shop_id) for d in documents} == {(2, "A4", plan.shop_id)}
        context = context_from_plan(plan)
        assert [d.made_from_hash for d in documents] == [made_from(d.kind, context) for d in documents]

    def test_a_new_address_makes_another_slip_and_the_same_cut_plans(self, plan: Any, customer: Customer) -> None:
        before = [made_from(kind, context_from_plan(plan)) for kind in ("slip", "insert", "box")]
        plan.order.customer.address = "2 New Street"
        after = [made_from(kind, context_from_plan(plan)) for kind in ("slip", "insert", "box")]
        assert [one == other for one, other in zip(before, after, strict=True)] == [False, True, True]

    def test_printing_again_adds_neither_file_nor_row(self, plan: Any) -> None:
        assert render_all(plan) == render_all(plan)
        assert Document.objects.count() == 3

    def test_another_page_size_is_another_paper(self, plan: Any) -> None:
        render_all(plan)
        assert {document.page_size for document in render_all(plan, page_size="Letter")} == {"Letter"}
        assert Document.objects.count() == 6

    def test_a_lost_file_is_written_again(self, plan: Any) -> None:
        (document,) = render_all(plan, kinds=["slip"])
        document.path.unlink()
        render_all(plan, kinds=["slip"])
        assert document.path.read_bytes() == b"%PDF slip A4"

    def test_a_paper_that_cannot_be_written_leaves_no_part_of_it(
        self, plan: Any, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
    ) -> None:
        monkeypatch.setattr("shop.services.files.os.replace", mock.Mock(side_effect=OSError("disk full")))
        with pytest.raises(OSError, match="disk full"):
            render_all(plan, page_size="Letter", kinds=["box"])
        assert list((tmp_path / "papers").iterdir()) == []

    def test_a_plan_without_an_answer_gets_no_papers(self, plan: Any) -> None:
        refusal = Refusal("21", Status.IMPOSSIBLE, "max_outside", "CH125-007", 12_000, Message(""), 1, 1, 0, "0", HASH)
        plan.content = to_json(refusal)
        with pytest.raises(NoPlan, match="impossible"):
            render_all(plan)
