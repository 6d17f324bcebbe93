"""The box's cutting files, read again by another program."""

import io
import zipfile
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pytest
from django.test import Client

from packing.draw import alike
from packing.plan import plan_from_json
from shop.models import Order


def archive_of(response: Any) -> Any:
    assert response["Content-Type"] == "application/zip"
    return zipfile.ZipFile(io.BytesIO(response.content))


def test_the_archive_holds_every_flat_piece_and_insert_sheet_as_svg_and_dxf(at_the_bench: Client, planned: Any) -> None:
    archive = archive_of(at_the_bench.get("/orders/17/cut-files/"))
    names = archive.namelist()
    content = planned.current_plan.content
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
    first, second = (at_the_bench.get("/orders/17/cut-files/").content for _ in range(2))
    assert first == second


def test_an_order_without_a_plan_has_no_cutting_files(at_the_bench: Client, ready: Order) -> None:
    assert at_the_bench.get("/orders/17/cut-files/").status_code == 404


@pytest.mark.parametrize(("who", "status"), [("packer", 200), ("stranger", 404)])
def test_who_may_have_them(log_in: Any, planned: Any, who: Any, status: Any) -> None:
    assert log_in(who).get("/orders/17/cut-files/").status_code == status


def test_the_order_page_leads_to_them(at_the_bench: Client, planned: Any) -> None:
    page = at_the_bench.get("/orders/17/").content.decode()
    assert "/orders/17/cut-files/" in page
    assert "Never cut PVC or a foam you do not know" in page
