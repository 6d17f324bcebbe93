"""The order of cuts: every sheet with pockets once, every pocket once, corners as they can be counted by hand."""

import pytest

from packing.draw import cut_order
from tests.bench.inserts import invented_orders
from tests.packing.draw.test_full_size import planned
from tests.packing.draw.test_rods import plan_laid
from tests.packing.insert_zoo import HAMMER, TIN, order_of


@pytest.mark.parametrize("number", range(4))
def test_every_sheet_with_pockets_is_cut_once_and_thin_ones_first(number: int) -> None:
    plan = planned(*invented_orders(4, 31)[number])
    rows = cut_order(plan)
    cut = {sheet.id: sheet for sheet in plan.insert.sheets if sheet.pockets}
    assert sorted(one for row in rows for one in row.ids) == sorted(cut)
    assert [row.thickness_um for row in rows] == sorted(row.thickness_um for row in rows)
    for row in rows:
        for one in row.ids:
            assert sorted(row.letters) == sorted({pocket.letter for pocket in cut[one].pockets})
        assert row.rounds == -(-row.thickness_um // 13_000)


def test_a_tins_pocket_has_four_corners_and_a_t_six() -> None:
    """Of a T's eight corners two point out of the waste: nothing is punched there."""
    tin = cut_order(plan_laid(order_of({**TIN, "weight_g": 5000}), (0, "block", 0)))
    hammer = cut_order(plan_laid(order_of(HAMMER), (0, "flat", 0)))
    assert {row.corners for row in tin} <= {4, 8, 12}
    assert any(row.corners >= 6 for row in hammer)


def test_pockets_nearest_the_middle_come_first() -> None:
    order = order_of(*({**TIN, "id": name} for name in ("left", "middle", "right")))
    plan = plan_laid(order, (0, "block", 0), (1, "block", 0), (2, "block", 0))
    assert {row.letters[0] for row in cut_order(plan)} == {"B"}
