"""Choice of stock, rows of boards, closing and work of the wooden styles."""

from collections.abc import Sequence

from packing.boxes.design import Closing, Hardware, Infeasible
from packing.boxes.piece import CutPiece
from packing.boxes.spec import BoxSpec
from packing.materials import Timber, WoodPart
from packing.measure import Step, down_to_step
from packing.messages import Length, Message, Weight
from packing.plan import FactPlan
from packing.plan.kinds import FastenerKind, TapePattern

END_GRAIN = FactPlan(
    Message("Fastenings into end grain hold poorly: glue these joints too."),
    "U.S. Forest Products Laboratory, Technical Note 164, Common styles of nailed-wood boxes",
    "primary",
    "1953",
)
BATTEN_UM = 38_000
"""Width of battens, cleats and feet: nominal two inches, dry and planed, what a one-by-two is sold as."""
SIDE_ROWS_UM = ((5_000_000, 9_000), (20_000_000, 12_000))
"""Contents up to so many milligrams, and the plywood for them; common practice, no source, as the fact below says."""
THICKEST_SIDE_UM = 15_000
UNDERSIZE_UM = 500
"""Plywood sold by a round thickness measures up to this much less: it counts as what it is sold as."""
SIDE_FACT = FactPlan(
    Message(
        "Plywood {thin} up to {light} of contents, {middle} up to {heavy}, {thick} above; a sheet measured up to "
        "{less} thinner counts.",
        thin=Length(SIDE_ROWS_UM[0][1]),
        light=Weight(SIDE_ROWS_UM[0][0]),
        middle=Length(SIDE_ROWS_UM[1][1]),
        heavy=Weight(SIDE_ROWS_UM[1][0]),
        thick=Length(THICKEST_SIDE_UM),
        less=Length(UNDERSIZE_UM),
    ),
    "common practice, no source",
    "practice",
)
WORK_FACT = FactPlan(
    Message("Guard on the saw, eyes and ears covered, dust drawn off; keep to local rules for machines and dust."),
    "usual cautions",
    "practice",
)


def side_thickness_um(spec: BoxSpec) -> int:
    """The thickness that plywood sides need for the contents of the box."""
    if spec.joinery.side_um is not None:
        return spec.joinery.side_um
    for limit, thickness in SIDE_ROWS_UM:
        if spec.contents_mg <= limit:
            return thickness
    return THICKEST_SIDE_UM


def panel_of(style: str, spec: BoxSpec, least_um: int, *, undersize_um: int = 0) -> Timber | Infeasible:
    """The thinnest panel in stock that is thick enough, or so little less that it was sold as such."""
    fitting = [panel for panel in spec.joinery.panels if panel.thickness_um + undersize_um >= least_um]
    if fitting:
        return min(fitting, key=lambda panel: (panel.thickness_um, panel.name))
    thickest = max((panel.thickness_um for panel in spec.joinery.panels), default=0)
    return Infeasible(
        style,
        "material",
        least_um,
        thickest,
        Message(
            "The {style} box needs panels {least} thick; the thickest in stock is {thickest}.",
            style=style,
            least=Length(least_um),
            thickest=Length(thickest),
        ),
    )


def plank_of(spec: BoxSpec, width_um: int) -> Timber | None:
    """The narrowest sawn board that is wide enough; None where the widest is too narrow."""
    fitting = [plank for plank in spec.joinery.planks if plank.width_um >= width_um]
    return min(fitting, key=lambda plank: (plank.width_um, plank.name)) if fitting else None


def rows_of(spec: BoxSpec, width_um: int, step: Step | None = None) -> tuple[Timber, int, int] | None:
    """Boards side by side over a width: which, how many, how wide each is ripped; None without boards in stock.

    The fewest boards do; among those the narrowest kind. What an uneven width leaves is left off: less than a step, or
    a micrometre, for each board.
    """
    if not spec.joinery.planks:
        return None
    widest = max(plank.width_um for plank in spec.joinery.planks)
    count = -(-width_um // widest)
    each = down_to_step(width_um // count, step)
    plank = plank_of(spec, each)
    return None if plank is None else (plank, count, each)


def too_long(style: str, cut_pieces: Sequence[CutPiece]) -> Infeasible | None:
    """The first piece that is longer or wider than what it is cut from, as a refusal."""
    for cut_piece in cut_pieces:
        material = cut_piece.material
        if not isinstance(material, Timber):
            continue
        for size, stock, template in (
            (
                cut_piece.size_um[0],
                material.length_um,
                "The {piece} of the {style} box is {size} along the grain; {material} is {stock}.",
            ),
            (
                cut_piece.size_um[1],
                material.width_um,
                "The {piece} of the {style} box is {size} across the grain; {material} is {stock}.",
            ),
        ):
            if size > stock:
                sentence = Message(
                    template,
                    piece=cut_piece.what,
                    style=style,
                    size=Length(size),
                    material=material.name,
                    stock=Length(stock),
                )
                return Infeasible(style, "board length", size, stock, sentence)
    return None


def wood_parts(cut_pieces: Sequence[CutPiece]) -> tuple[WoodPart, ...]:
    """The wooden pieces, for the treatment rules."""
    return tuple(
        WoodPart(cut_piece.role.value, cut_piece.material.thickness_um, cut_piece.material.processed)
        for cut_piece in cut_pieces
        if isinstance(cut_piece.material, Timber)
    )


def wood_work(cut_pieces: Sequence[CutPiece], fastenings: Sequence[Hardware]) -> tuple[tuple[str, float], ...]:
    """Count cuts, screws, nails and metres of groove."""
    screws = sum(one.count for one in fastenings if one.kind is FastenerKind.SCREW)
    nails = sum(one.count for one in fastenings if one.kind in (FastenerKind.NAIL, FastenerKind.CLINCHED_NAIL))
    groove = sum(
        cut_piece.count * max(g.high[0] - g.low[0], g.high[1] - g.low[1])
        for cut_piece in cut_pieces
        for g in cut_piece.grooves
    )
    rows = (
        ("board cut", 2.0 * sum(cut_piece.count for cut_piece in cut_pieces)),
        ("screw", float(screws)),
        ("nail", float(nails)),
        ("groove m", groove / 10**6),
    )
    return tuple(row for row in rows if row[1])


def screwed_shut(lid: Sequence[Hardware]) -> Closing:
    """Closing by all of the lid's screws."""
    count = sum(one.count for one in lid)
    spacing = max(one.spacing_um for one in lid)
    text = Message(
        "Screw the lid down: {count} × {screw}, up to {spacing} apart.",
        count=count,
        screw=lid[0].what,
        spacing=Length(spacing),
    )
    return Closing(text, TapePattern.NONE)
