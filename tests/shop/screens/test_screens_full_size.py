"""The insert's sheets in full size as PDF, measured by another program."""

import io
from typing import Any

import pdfplumber
import pytest
from django.test import Client

from packing.plan import plan_from_json
from shop.models import Order, Shop
from tests.shop.planned import only_plan

MM = 72 / 25.4


def opened(client: Client, how: str, query: str = "") -> Any:
    response = client.get(f"/orders/17/parcels/1/full-size/{how}/{query}")
    assert response.status_code == 200 and response["Content-Type"] == "application/pdf"
    return pdfplumber.open(io.BytesIO(response.content))


def bars(page: Any) -> list[float]:
    """Lengths in mm of the level lines of half a millimetre under the sheet: the last two are the check bars."""
    level = [
        line for line in page.lines if abs(line["x1"] - line["x0"]) > 1 and abs(line["linewidth"] - 0.5 * MM) < 0.2
    ]
    lowest = sorted(level, key=lambda line: line["top"])[-2:]
    return sorted(round((line["x1"] - line["x0"]) / MM, 1) for line in lowest)


@pytest.mark.parametrize(("size", "wide"), [("A4", 297.0), ("Letter", 279.4)])
def test_pages_are_of_the_paper_asked_for_and_true_to_size(
    at_the_bench: Client, planned: Order, size: str, wide: float
) -> None:
    with opened(at_the_bench, "pages", f"?page_size={size}") as pdf:
        assert len(pdf.pages) >= 2
        for page in pdf.pages:
            assert float(page.width) / MM == pytest.approx(wide, abs=0.1)
            assert bars(page) == [100.0, 101.6]
            assert "Print at 100 %" in page.extract_text()


def test_one_large_page_holds_the_whole_sheet(at_the_bench: Client, planned: Any) -> None:
    plan = plan_from_json(only_plan(planned).content)
    with opened(at_the_bench, "one-page") as pdf:
        assert len(pdf.pages) == len({(one.size_um, one.pockets) for one in plan.insert.sheets if one.pockets})
        for page in pdf.pages:
            assert float(page.width) / MM >= plan.interior_um[0] / 1000
            assert float(page.height) / MM >= plan.interior_um[1] / 1000
            assert bars(page) == [100.0, 101.6]


def test_what_the_printer_is_out_by_is_taken_out(at_the_bench: Client, planned: Order, forge: Shop) -> None:
    forge.printed_bar_mm = 98
    forge.save(update_fields=["printed_bar_mm"])
    with opened(at_the_bench, "one-page") as pdf:
        assert bars(pdf.pages[0]) == pytest.approx([100 / 0.98, 101.6 / 0.98], abs=0.1)


def test_the_order_page_leads_to_both(at_the_bench: Client, planned: Order) -> None:
    page = at_the_bench.get("/orders/17/").content.decode()
    assert "/orders/17/parcels/1/full-size/pages/" in page and "/orders/17/parcels/1/full-size/one-page/" in page


def test_an_order_without_a_plan_has_none(at_the_bench: Client, ready: Order) -> None:
    assert at_the_bench.get("/orders/17/parcels/1/full-size/pages/").status_code == 404
    assert "/full-size/" not in at_the_bench.get("/orders/17/").content.decode()


def test_no_other_way_of_printing_is_known(at_the_bench: Client, planned: Order) -> None:
    assert at_the_bench.get("/orders/17/parcels/1/full-size/poster/").status_code == 404


@pytest.mark.parametrize(("who", "status"), [("packer", 200), ("stranger", 404)])
def test_who_may_have_them(log_in: Any, planned: Order, who: str, status: int) -> None:
    assert log_in(who).get("/orders/17/parcels/1/full-size/pages/").status_code == status
