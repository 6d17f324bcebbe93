"""A stock carton as the second answer of a plan."""

from collections.abc import Sequence

from packing.boxes.cartons import CartonChoice
from packing.materials import Board
from packing.messages import Message
from packing.plan import StockCartonPlan
from packing.units import to_tenth_g


def carton_plan(choice: CartonChoice, *, weight_mg: int, gross_mg: int, notes: Sequence[Message]) -> StockCartonPlan:
    """Turn a carton into the second answer of a plan.

    Parameters
    ----------
    choice
        `fill` becomes the part of its inside that the insert takes up; what fills the rest is weighed as `fill_mg`.
    weight_mg, gross_mg
        Weight of the empty carton as used; of the closed carton with everything in it.
    notes
        Sentences for whoever makes or fills it.

    Returns
    -------
    StockCartonPlan
        Lengths in micrometres, weights in milligrams to a tenth of a gram.
    """
    board: Board = choice.carton.board
    return StockCartonPlan(
        name=choice.carton.name,
        board=board.name,
        price=choice.carton.price,
        bought_inner_um=choice.carton.inner_um,
        inner_um=choice.inner_um,
        outer_um=choice.outer_um,
        cut_down_um=choice.cut_down_um,
        turned=choice.turned,
        sheet_um=choice.sheet_um,
        top_sheet_um=choice.top_sheet_um,
        weight_mg=to_tenth_g(weight_mg),
        fill=choice.insert_um3 * 1000 // choice.volume_um3 / 1000,
        fill_mg=to_tenth_g(choice.fill_mg),
        gross_mg=to_tenth_g(gross_mg),
        notes=tuple(notes),
    )
