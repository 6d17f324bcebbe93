"""The second answer of a plan: a carton from stock."""

from packing.messages import Message
from packing.plan.rows import Point, Row, Size


class StockCartonPlan(Row, frozen=True):
    """A carton from stock that takes the same insert: the second answer.

    Parameters
    ----------
    name, board, price
        As the shop calls it; its board; its price as text, "" where not known.
    bought_inner_um, inner_um, outer_um, cut_down_um
        Inside as bought, inside and outside as used, how much lower it is creased.
    turned
        Whether the insert lies across it.
    sheet_um, top_sheet_um
        Length and width, and the thickness of a sheet on top that fills it.
    weight_mg, fill_mg, gross_mg
        The carton, foam that fills the rest, everything.
    fill
        The insert's share of the carton, 0 to 1.
    notes
        The first says what fills the rest.
    """

    name: str
    board: str
    price: str
    bought_inner_um: Size
    inner_um: Size
    outer_um: Size
    cut_down_um: int
    turned: bool
    sheet_um: Point
    top_sheet_um: int
    weight_mg: int
    fill: float
    fill_mg: int
    gross_mg: int
    notes: tuple[Message, ...] = ()
