"""Corrugated board as bought."""

from dataclasses import dataclass
from decimal import Decimal

from packing.plan import BoardPlan
from packing.sureness import Sureness
from packing.units import half_up


@dataclass(frozen=True, slots=True)
class Board:
    """Corrugated board as bought.

    Parameters
    ----------
    name, flute, grade
        As on the cut list; `grade` is the bought sheet's.
    caliper_um
        Thickness, measured.
    grammage_mg_m2
        Weight of one square metre of board, glue included.
    joint_um
        Width of the joint flap.
    spread
        Relative standard deviation of the grammage.
    source
        Where the values come from.
    wall
        "single", "double" or "triple".
    burst_psi, facings_lb, ect_lb_in
        The bought sheet's burst grade, the weight of its liners for 1000 ft² together, and its edge crush in pounds for
        an inch; 0 where not known.
    caliper_tolerance_um
        How far a sheet may be off its caliper.
    sheet_um
        Size of the bought sheet across the flutes and along them; None where any size is to be had.
    price_m2
        Price of one square metre as bought, in the shop's currency; None where not known.
    cut_by
        How the shop may cut it: "knife", "laser", "saw".
    sureness
        How sure the values are; None where the row does not say.
    """

    name: str
    flute: str
    grade: str
    caliper_um: int
    grammage_mg_m2: int
    joint_um: int
    spread: float
    source: str
    wall: str = "single"
    burst_psi: int = 0
    facings_lb: int = 0
    ect_lb_in: int = 0
    caliper_tolerance_um: int = 300
    sheet_um: tuple[int, int] | None = None
    price_m2: Decimal | None = None
    cut_by: tuple[str, ...] = ("knife",)
    sureness: Sureness | None = None

    def weight_mg(self, area_um2: int) -> int:
        """Weight of an area in whole milligrams, half a milligram up."""
        return half_up(area_um2 * self.grammage_mg_m2, 10**12)


def board_plan(board: Board) -> BoardPlan:
    """Turn a board into a part of the plan.

    Parameters
    ----------
    board
        As in stock.

    Returns
    -------
    BoardPlan
        Caliper in micrometres, grammage in milligrams for a square metre.
    """
    return BoardPlan(
        name=board.name,
        flute=board.flute,
        caliper_um=board.caliper_um,
        grammage_mg_m2=board.grammage_mg_m2,
        grade=board.grade,
        source=board.source,
        sureness=board.sureness or "",
    )
