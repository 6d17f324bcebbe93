"""What the wooden styles have in common: choosing stock, pieces, rows of boards, fastenings, work."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.boxes.design import Closing, CutPiece, Hardware, Infeasible, PlacedPanel, Size, plain
from packing.boxes.spec import BoxSpec
from packing.materials import Fastening, Timber, WoodPart
from packing.measure import mm
from packing.sureness import Fact

END_GRAIN = Fact(
    "Fastenings into end grain hold poorly: glue these joints too.",
    "U.S. Forest Products Laboratory, Technical Note 164, Common styles of nailed-wood boxes",
    "primary",
    "1953",
)
SIDE_ROWS_UM = ((5_000_000, 9_000), (20_000_000, 12_000))
THICKEST_SIDE_UM = 15_000
HANDLE_MG = 45_000
SIDE_FACT = Fact(
    "Plywood 9 mm up to 5 kg of contents, 12 mm up to 20 kg, 15 mm above.", "common practice, no source", "practice"
)
WORK_FACT = Fact(
    "Guard on the saw, eyes and ears covered, dust drawn off; keep to local rules for machines and dust.",
    "usual cautions",
    "practice",
)


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A flat piece and where each of its copies stands."""

    cut_piece: CutPiece
    placed_panels: tuple[PlacedPanel, ...]


def side_thickness_um(spec: BoxSpec) -> int:
    """How thick plywood sides must be for what the box holds."""
    if spec.joinery.side_um is not None:
        return spec.joinery.side_um
    for limit, thickness in SIDE_ROWS_UM:
        if spec.contents_mg <= limit:
            return thickness
    return THICKEST_SIDE_UM


def panel_of(style: str, spec: BoxSpec, least_um: int) -> Timber | Infeasible:
    """The thinnest panel in stock that is thick enough."""
    fitting = [panel for panel in spec.joinery.panels if panel.thickness_um >= least_um]
    if fitting:
        return min(fitting, key=lambda panel: (panel.thickness_um, panel.name))
    thickest = max((panel.thickness_um for panel in spec.joinery.panels), default=0)
    return Infeasible(
        style,
        "material",
        least_um,
        thickest,
        f"The {style} box needs panels {mm(least_um)} mm thick; the thickest in stock is {mm(thickest)} mm.",
    )


def plank_of(spec: BoxSpec, width_um: int) -> Timber | None:
    """The narrowest sawn board that is wide enough; None where the widest is too narrow."""
    fitting = [plank for plank in spec.joinery.planks if plank.width_um >= width_um]
    return min(fitting, key=lambda plank: (plank.width_um, plank.name)) if fitting else None


def rows_of(spec: BoxSpec, width_um: int) -> tuple[Timber, int, int] | None:
    """Boards side by side over a width: which, how many, how wide each is ripped; None without boards in stock.

    The fewest boards do; among those the narrowest kind. The last micrometres of an uneven width are left off.
    """
    if not spec.joinery.planks:
        return None
    widest = max(plank.width_um for plank in spec.joinery.planks)
    count = -(-width_um // widest)
    each = width_um // count
    plank = plank_of(spec, each)
    return None if plank is None else (plank, count, each)


def too_long(style: str, cut_pieces: Sequence[CutPiece]) -> Infeasible | None:
    """The first piece that is longer or wider than what it is cut from, as a refusal."""
    for cut_piece in cut_pieces:
        material = cut_piece.material
        if not isinstance(material, Timber):
            continue
        for size, stock, way in (
            (cut_piece.size_um[0], material.length_um, "along"),
            (cut_piece.size_um[1], material.width_um, "across"),
        ):
            if size > stock:
                return Infeasible(
                    style,
                    "board length",
                    size,
                    stock,
                    f"The {cut_piece.what} of the {style} box is {mm(size)} mm {way} the grain; {material.name} is "
                    f"{mm(stock)} mm.",
                )
    return None


def place_piece(
    id_: str, what: str, timber: Timber, size_um: tuple[int, int], lows: Sequence[Size], axes: Size
) -> PlacedPiece:
    """A rectangular piece standing at each of `lows`.

    Parameters
    ----------
    size_um
        Along the grain and across it.
    lows
        Lower corners.
    axes
        For x, y and z: 0 the size along the grain, 1 across it, 2 the thickness.
    """
    source = timber.name
    if timber.nominal_in is not None and size_um[1] != timber.width_um:
        source = f"{timber.name}, ripped to {mm(size_um[1])} mm"
    cut_piece = plain(id_, what, timber, size_um, len(lows), source)
    sides = (size_um[0], size_um[1], timber.thickness_um)
    placed_panels = tuple(
        PlacedPanel(
            what,
            low,
            (low[0] + sides[axes[0]], low[1] + sides[axes[1]], low[2] + sides[axes[2]]),
        )
        for low in lows
    )
    return PlacedPiece(cut_piece, placed_panels)


def hardware(fastening: Fastening, joints: int, where: str) -> Hardware:
    """The fastenings of so many equal joints."""
    one = fastening.fastener
    return Hardware(one.name, fastening.count * joints, one.each_mg, where, fastening.spacing_um, fastening.rule)


def handles(spec: BoxSpec) -> tuple[Hardware, ...]:
    """Two rope handles through the ends, where they are asked for."""
    if not spec.joinery.rope_handles:
        return ()
    rule = Fact("one through each end, knotted inside; weigh one", "weight from memory", "memory")
    return (Hardware("rope handle, 10 mm, knotted inside", 2, HANDLE_MG, "ends", 0, rule),)


def outside(spec: BoxSpec) -> str:
    """What a carrier sees of a bare wooden box."""
    return "wood with rope handles" if spec.joinery.rope_handles else "wood"


def wood_parts(cut_pieces: Sequence[CutPiece]) -> tuple[WoodPart, ...]:
    """The wooden pieces, for the treatment rules."""
    return tuple(
        WoodPart(cut_piece.what, cut_piece.material.thickness_um, cut_piece.material.processed)
        for cut_piece in cut_pieces
        if isinstance(cut_piece.material, Timber)
    )


def wood_work(cut_pieces: Sequence[CutPiece], fastenings: Sequence[Hardware]) -> tuple[tuple[str, float], ...]:
    """How many cuts, screws, nails and metres of groove."""
    screws = sum(one.count for one in fastenings if "screw" in one.what)
    nails = sum(one.count for one in fastenings if "nail" in one.what)
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


def screwed_shut(lid: Hardware | None) -> Closing:
    """Closing by the lid's screws."""
    if lid is None:
        return Closing("Slide the lid in; a strip of paper tape over its end keeps it shut.", "strips", 100_000)
    return Closing(f"Screw the lid down: {lid.count} × {lid.what}, {mm(lid.spacing_um)} mm apart.", "none", 0)


def placed_panels_of(pieces: Sequence[PlacedPiece], names: Sequence[str]) -> tuple[PlacedPanel, ...]:
    """The plates of those pieces whose name is in `names`, in the pieces' order."""
    return tuple(placed_panel for one in pieces if one.cut_piece.what in names for placed_panel in one.placed_panels)
