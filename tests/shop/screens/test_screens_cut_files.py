"""The box's cutting files, read again by another program."""

import io
import zipfile
from decimal import Decimal
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pytest
from django.test import Client

from packing.draw import alike
from packing.plan import plan_from_json
from shop.models import Order, SheetRow
from tests.shop.planned import only_plan


def archive_of(response: Any) -> Any:
    assert response["Content-Type"] == "application/zip"
    return zipfile.ZipFile(io.BytesIO(response.content))


def test_the_archive_holds_every_flat_piece_and_insert_sheet_as_svg_and_dxf(at_the_bench: Client, planned: Any) -> None:
    archive = archive_of(at_the_bench.get("/orders/17/parcels/1/cut-files/"))
    names = archive.namelist()
    content = only_plan(planned).content
    assert "PVC" in archive.read("cautions.txt").decode()
    names.remove("cautions.txt")
    assert len(names) == 2 * (len(content["box"]["flats"]) + len(alike(plan_from_json(content).insert)))
    for name in names:
        text = archive.read(name).decode()
        if name.endswith(".svg"):
            assert ElementTree.fromstring(text).tag.endswith("svg")
        else:
            layers = {layer.dxf.name for layer in ezdxf.read(io.StringIO(text)).layers}
            assert {"cut", "crease"} <= layers


def test_the_same_plan_gives_the_same_archive(at_the_bench: Client, planned: Any) -> None:
    first, second = (at_the_bench.get("/orders/17/parcels/1/cut-files/").content for _ in range(2))
    assert first == second


def test_an_order_without_a_plan_has_no_cutting_files(at_the_bench: Client, ready: Order) -> None:
    assert at_the_bench.get("/orders/17/parcels/1/cut-files/").status_code == 404


@pytest.mark.parametrize(("who", "status"), [("packer", 200), ("stranger", 404)])
def test_who_may_have_them(log_in: Any, planned: Any, who: Any, status: Any) -> None:
    assert log_in(who).get("/orders/17/parcels/1/cut-files/").status_code == status


def test_the_order_page_leads_to_them(at_the_bench: Client, planned: Any) -> None:
    page = at_the_bench.get("/orders/17/").content.decode()
    assert "/orders/17/parcels/1/cut-files/" in page
    assert "Never cut PVC or a foam you do not know" in page


def asked_for(client: Client, **tool: str) -> Any:
    return client.get("/orders/17/parcels/1/cut-files/", tool, follow=True)


def test_files_for_a_laser_have_its_cut_allowed_for_and_its_cautions(at_the_bench: Client, planned: Any) -> None:
    told = archive_of(asked_for(at_the_bench, tool="laser", kerf="0.25")).read("cautions.txt").decode()
    assert "the middle of a cut of 0.25 mm by a laser" in told and "PVC" in told
    told = archive_of(asked_for(at_the_bench, tool="laser", allowed_by="machine")).read("cautions.txt").decode()
    assert "the machine moves a laser by half of its cut of 0.3 mm" in told


@pytest.mark.parametrize(
    ("tool", "kerf", "said"),
    [
        ("router", "26 mm", "must be 0 to 25 mm, not 26 mm"),
        ("router", "12 mm", "must be narrower than the slots of"),
        ("laser", "thin", "Its cut takes"),
        ("saw", "", "Cut by"),
    ],
)
def test_a_cut_that_cannot_be_is_refused_on_the_orders_page(
    at_the_bench: Client, planned: Any, tool: str, kerf: str, said: str
) -> None:
    answer = asked_for(at_the_bench, tool=tool, kerf=kerf)
    assert answer.headers["Content-Type"].startswith("text/html")
    assert said in answer.content.decode()


def test_a_sheet_of_stock_has_a_file_with_all_its_parts(at_the_bench: Client, planned: Any) -> None:
    foam = plan_from_json(only_plan(planned).content).insert
    for thickness in {sheet.thickness_um for sheet in foam.sheets}:
        SheetRow.objects.create(
            shop=planned.shop,
            material=foam.material,
            nominal_mm=Decimal(thickness) / 1000,
            thickness_mm=Decimal(thickness) / 1000,
            length_mm=Decimal(2700),
            width_mm=Decimal(1200),
            count=9,
        )
    archive = archive_of(at_the_bench.get("/orders/17/parcels/1/cut-files/"))
    nested = [name for name in archive.namelist() if name.startswith("stock-")]
    assert {name.rpartition(".")[2] for name in nested} == {"svg", "dxf"}
    drawn = "".join(archive.read(name).decode() for name in nested if name.endswith("svg"))
    assert all(f">{sheet.id}</text>" in drawn for sheet in foam.sheets)
