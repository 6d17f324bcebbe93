"""Minutes at the bench: one insert worked out by hand, and what thin stock saves over invented orders."""

from decimal import Decimal
from fractions import Fraction

import pytest

from packing.insert import INSERT_MINUTES, Insert, insert_work, make_insert
from packing.insert.work import passes
from packing.materials import LABOUR_TIMES, PE_FOAM, LabourTime, Rates
from packing.plan.kinds import InsertWork
from tests.bench import inserts
from tests.packing.insert_zoo import HAMMER, TIN, laid, order_of

TIN_ALONE = order_of({**TIN, "height": 24}, sheets=[25])


def minutes_of(insert: Insert, **own: int) -> Decimal:
    """Minutes at the bench, where a shop has timed some kinds of work itself."""
    rows = tuple(LabourTime(row.what, Decimal(own.get(row.what, row.minutes))) for row in LABOUR_TIMES)
    return Rates(work=rows).timed(insert_work(insert)).minutes


def test_minutes_of_a_tin_between_three_sheets_are_as_worked_out_by_hand() -> None:
    insert = make_insert(TIN_ALONE, laid(TIN_ALONE, [(0, "block", 0)]), PE_FOAM)
    sheets = 3 * (1 + 1 + Fraction("0.18") * Fraction("0.492") * 2)
    pocket = 1 + Fraction("0.2") + Fraction("0.3") * Fraction("0.28") * 2 + Fraction("0.12") * 4 * 2
    piece_and_tape = Fraction("0.5") + 1
    assert float(minutes_of(insert)) == pytest.approx(float(sheets + pocket + piece_and_tape), abs=0.001)


@pytest.mark.parametrize(("thickness", "count"), [(12_700, 1), (13_000, 1), (13_010, 2), (25_400, 2), (50_800, 4)])
def test_a_knife_takes_a_pass_for_each_13_mm(thickness: int, count: int) -> None:
    assert passes(thickness) == count


def test_every_piece_of_thin_stock_is_cut_and_laid_by_itself() -> None:
    order = order_of(HAMMER, sheets=[50], bite=1.5, thin=[3, 6])
    work = dict(insert_work(make_insert(order, laid(order, [(0, "flat", 0)]), PE_FOAM)))
    under_handle, over_head, over_handle = 2, 2, 3  # 6 + 3 for 9.5 mm, 6 + 3 for 8 mm, 6 + 6 + 6 for 17.5 mm
    assert work[InsertWork.FILL] == work[InsertWork.LOOSE] == under_handle + over_head + over_handle
    assert InsertWork.SLICE not in work


def test_a_shop_that_times_its_own_work_gets_the_stack_that_is_least_work_for_it() -> None:
    order = order_of(HAMMER, sheets=[12, 25], bite=1.5, thin=[3, 6])
    nesting = laid(order, [(0, "flat", 0)])
    slow_marking = {**INSERT_MINUTES, InsertWork.MARKED_SHEET: Decimal(60)}
    usual, slow = (make_insert(order, nesting, PE_FOAM, minutes=rows) for rows in (INSERT_MINUTES, slow_marking))
    assert minutes_of(usual) <= minutes_of(slow)
    marking = {InsertWork.MARKED_SHEET.value: 60}
    assert minutes_of(slow, **marking) <= minutes_of(usual, **marking)


def test_thin_stock_saves_a_third_of_the_minutes_of_invented_orders_and_every_slice() -> None:
    found = inserts.rows(count=8)
    assert sum(row.slices for row in found) == 0
    assert sum(row.thin_minutes for row in found) < 0.67 * sum(row.sliced_minutes for row in found)
