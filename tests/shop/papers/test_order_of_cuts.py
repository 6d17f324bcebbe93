"""The page with the order of cuts: what is cut in which order, and how nobody and no steel comes to harm by it."""

import json
from pathlib import Path

import pytest

from packing.cushion import drop_height_um
from packing.plan import Plan, plan_from_json
from shop.formatting import Units
from shop.papers.cautions import for_assembling, for_trying
from shop.papers.insert_plan import order_of_cuts
from shop.papers.measures import PlanWording

PLAN = Path(__file__).parents[2] / "data" / "papers_plan.json"
WRITE = PlanWording(Units())


def plan() -> Plan:
    return plan_from_json(json.loads(PLAN.read_text(encoding="utf-8")))


def test_every_sheet_with_a_pocket_stands_in_a_row_with_its_corners() -> None:
    rows = order_of_cuts(plan(), WRITE)
    assert [row["ids"] for row in rows] == ["S2, S3", "S4, S5", "S7", "S8, S9"]
    assert [str(row["thickness"]).replace("\xa0", " ") for row in rows] == ["12 mm", "12 mm", "12 mm", "25 mm"]
    assert [row["rounds"] for row in rows] == [1, 1, 1, 2]
    assert rows[0]["kept"] == "D1, D2"


def test_glue_drills_and_bare_steel_are_spoken_of() -> None:
    told = " ".join(for_assembling().lines)
    for word in ("drill", "Router", "does not stain", "must have cured", "No bare steel on board, felt"):
        assert word in told


@pytest.mark.parametrize(("gross_mg", "height"), [(9_000_000, "762"), (30_000_000, "304.8"), (68_000_000, "203")])
def test_a_box_is_tried_with_scrap_steel_from_the_height_for_its_weight(gross_mg: int, height: str) -> None:
    told = " ".join(for_trying(drop_height_um(gross_mg), WRITE).lines)
    assert height in told and "scrap steel of the same weight" in told and "A computed drop is no test" in told
    assert "local rules decide" in told


def test_beyond_the_table_of_heights_none_is_named() -> None:
    assert drop_height_um(70_000_000) is None
    assert "No height is known here" in " ".join(for_trying(None, WRITE).lines)
