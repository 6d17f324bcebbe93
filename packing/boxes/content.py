"""A box of any style as a part of the plan."""

import msgspec

from packing.boxes.design import BoxDesign, Closing, Hardware, PlacedPanel, Step
from packing.boxes.piece import Area, CutPiece, Groove, Hole
from packing.materials import Board, board_plan
from packing.plan import (
    AreaPlan,
    BlankPlan,
    BoxPlan,
    CasePlan,
    ClosingPlan,
    FoldPlan,
    GroovePlan,
    HardwarePlan,
    HolePlan,
    JointPlan,
    LinePlan,
    PanelPlan,
    PartPlan,
    PiecePlan,
    RectanglePlan,
    StepPlan,
    StockPlan,
    TapePlan,
    verbatim,
)
from packing.plan.kinds import ContainerKind, FoldName, StockKind
from packing.units import to_tenth_g

CROSS_UM = 4_000
"""Half the length of each stroke of the cross that marks a hole."""


def box_plan(design: BoxDesign) -> BoxPlan:
    """A box as drawings, papers and screens read it.

    Parameters
    ----------
    design
        As `make_box` gives it.

    Returns
    -------
    BoxPlan
        Without grade, treatment and cost, which are judged later. Weights to a tenth of a gram, as they are shown.
    """
    return BoxPlan(
        style=design.style,
        name=verbatim(design.name),
        family=design.family,
        packaging=design.packaging,
        inner_um=design.inner_um,
        outer_um=design.outer_um,
        most_um=design.most_um,
        weight_mg=to_tenth_g(design.weight_mg),
        fill_mg=to_tenth_g(design.fill_mg),
        fit_um=design.fit_um,
        board=None if design.board is None else board_plan(design.board),
        blank=_blank(design),
        parts=tuple(_part(piece) for piece in design.cut_pieces),
        pieces=tuple(_piece(piece) for piece in design.cut_pieces),
        hardware=tuple(_hardware(one) for one in design.hardware),
        steps=tuple(_step(step) for step in design.steps),
        closing=_closing(design.closing),
        folds=tuple(FoldPlan(FoldName(fold.name), fold.cut_pieces) for fold in design.folds),
        flap_gap_um=design.flap_gap_um,
        notes=design.notes,
        facts=design.facts,
        flap_layers=design.flap_layers,
        case=_case(design),
    )


def _case(design: BoxDesign) -> CasePlan | None:
    case = design.case
    if case is None:
        return None
    return CasePlan(case.inner_um, case.flap_gap_um, case.flap_layers, to_tenth_g(case.weight_mg))


def _stock(piece: CutPiece) -> StockPlan:
    stock = piece.material
    if isinstance(stock, Board):
        return StockPlan(
            kind=StockKind.BOARD,
            name=stock.name,
            cut_by=stock.cut_by,
            source=stock.source,
            flute=stock.flute,
            grade=stock.grade,
            caliper_um=stock.caliper_um,
            grammage_mg_m2=stock.grammage_mg_m2,
            sureness=stock.sureness or "",
        )
    return StockPlan(
        kind=StockKind.TIMBER,
        name=stock.name,
        cut_by=stock.cut_by,
        source=stock.source,
        nominal=stock.nominal,
        thickness_um=stock.thickness_um,
        stock_um=(stock.length_um, stock.width_um),
        density_g_m3=stock.density_g_m3,
        processed=stock.processed,
        kerf_um=stock.kerf_um,
        sureness=stock.sureness or "",
    )


def _part(piece: CutPiece) -> PartPlan:
    return PartPlan(
        id=piece.id,
        what=piece.what,
        material=piece.material.name,
        thickness_um=piece.thickness_um,
        size_um=piece.size_um,
        count=piece.count,
        weight_mg=to_tenth_g(piece.each_mg * piece.count),
        grain=piece.grain,
        source=piece.cut_from,
    )


def _piece(piece: CutPiece) -> PiecePlan:
    return PiecePlan(
        id=piece.id,
        what=piece.what,
        material=piece.material.name,
        thickness_um=piece.thickness_um,
        size_um=piece.size_um,
        count=piece.count,
        weight_mg=to_tenth_g(piece.each_mg),
        stock_mg=to_tenth_g(piece.stock_mg),
        grain=piece.grain,
        source=piece.cut_from,
        outline_um=piece.outline,
        creases=tuple(LinePlan(*line) for line in piece.creases),
        slots=tuple(RectanglePlan(slot.low, slot.high) for slot in piece.slots),
        panels=tuple(_area(panel) for panel in piece.panels),
        joint=None if piece.joint is None else _area(piece.joint),
        grooves=tuple(_groove(groove) for groove in piece.grooves),
        marks=_marks(piece),
        stock=_stock(piece),
        role=piece.role,
        shell=piece.shell,
        carton=piece.carton,
        holes=tuple(HolePlan(hole.at, hole.drill_um, hole.row, hole.edge) for hole in piece.holes),
    )


def _marks(piece: CutPiece) -> tuple[LinePlan, ...]:
    crosses = (stroke for hole in piece.holes for stroke in _cross(hole))
    return (*(LinePlan(*line) for line in piece.marks), *crosses)


def _cross(hole: Hole) -> tuple[LinePlan, ...]:
    """Strokes that mark a hole on its face; a hole in an edge is drilled through the piece that is fastened there."""
    if hole.edge:
        return ()
    x, y = hole.at
    return LinePlan((x - CROSS_UM, y), (x + CROSS_UM, y)), LinePlan((x, y - CROSS_UM), (x, y + CROSS_UM))


def _area(area: Area) -> AreaPlan:
    return AreaPlan(area.name, area.low, area.high, area.kind)


def _groove(groove: Groove) -> GroovePlan:
    return GroovePlan(groove.name, groove.low, groove.high, groove.depth_um)


def _hardware(one: Hardware) -> HardwarePlan:
    plan = HardwarePlan(
        what=verbatim(one.what),
        count=one.count,
        weight_mg=to_tenth_g(one.each_mg * one.count),
        where=one.where,
        spacing_um=one.spacing_um,
        rule=one.rule.text,
        kind=one.kind,
        source=one.rule.source,
        year=one.rule.year,
        sureness=one.rule.sureness,
    )
    if one.fastening is None:
        return plan
    fastening = one.fastening
    return msgspec.structs.replace(
        plan,
        first_um=one.first_um,
        offset_um=one.offset_um,
        diameter_um=fastening.fastener.diameter_um,
        length_um=fastening.fastener.length_um,
        edge_um=fastening.edge_um,
        clearance_um=fastening.clearance_um,
        pilot_um=fastening.pilot_um,
    )


def _step(step: Step) -> StepPlan:
    return StepPlan(step.text, tuple(_panel(panel) for panel in step.placed_panels), step.new, step.shell)


def _panel(panel: PlacedPanel) -> PanelPlan:
    return PanelPlan(panel.name, panel.low, panel.high, panel.piece, panel.flutes)


def _closing(closing: Closing) -> ClosingPlan:
    strips = tuple(TapePlan(strip) for strip in closing.strips)
    return ClosingPlan(closing.text, closing.pattern, closing.tape_um, strips)


def _blank(design: BoxDesign) -> BlankPlan | None:
    """The blank of a case that is cut from one blank in one piece; none of a carton that is bought."""
    if design.family is not ContainerKind.CORRUGATED or len(design.folds) != 1 or len(design.folds[0].cut_pieces) != 1:
        return None
    piece = next(piece for piece in design.cut_pieces if piece.id == design.folds[0].cut_pieces[0])
    joint = piece.joint or Area("joint", (0, 0), (0, 0))
    return BlankPlan(
        size_um=piece.size_um,
        outline_um=piece.outline,
        creases=tuple(LinePlan(*line) for line in piece.creases),
        slots=tuple(RectanglePlan(slot.low, slot.high) for slot in piece.slots),
        panels=tuple(_area(panel) for panel in piece.panels),
        joint=JointPlan(joint.low, joint.high, joint.high[0] - joint.low[0]),
        flap_gap_um=design.flap_gap_um,
    )
