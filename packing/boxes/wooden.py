"""What the wooden styles have in common: choosing stock, pieces, rows of boards, fastenings, work."""

from collections.abc import Sequence
from dataclasses import dataclass

from packing.boxes.design import Closing, Fact, Flat, Hardware, NoBox, Plate, Size, plain
from packing.boxes.spec import Need
from packing.materials import Fastening, Timber, WoodPart
from packing.measure import mm

END_GRAIN = Fact(
    "Fastenings into end grain hold poorly: glue these joints too.",
    "U.S. Forest Products Laboratory, technical notes on boxes",
    "primary",
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
class Placed:
    """A flat piece and where each of its copies stands."""

    flat: Flat
    plates: tuple[Plate, ...]


def side_thickness_um(need: Need) -> int:
    """How thick plywood sides must be for what the box holds."""
    if need.joinery.side_um is not None:
        return need.joinery.side_um
    for limit, thickness in SIDE_ROWS_UM:
        if need.contents_mg <= limit:
            return thickness
    return THICKEST_SIDE_UM


def panel_of(style: str, need: Need, least_um: int) -> Timber | NoBox:
    """The thinnest panel in stock that is thick enough."""
    fitting = [panel for panel in need.joinery.panels if panel.thickness_um >= least_um]
    if fitting:
        return min(fitting, key=lambda panel: (panel.thickness_um, panel.name))
    thickest = max((panel.thickness_um for panel in need.joinery.panels), default=0)
    return NoBox(
        style,
        "material",
        least_um,
        thickest,
        f"The {style} box needs panels {mm(least_um)} mm thick; the thickest in stock is {mm(thickest)} mm.",
    )


def plank_of(need: Need, width_um: int) -> Timber | None:
    """The narrowest sawn board that is wide enough; None where the widest is too narrow."""
    fitting = [plank for plank in need.joinery.planks if plank.width_um >= width_um]
    return min(fitting, key=lambda plank: (plank.width_um, plank.name)) if fitting else None


def rows_of(need: Need, width_um: int) -> tuple[Timber, int, int] | None:
    """Boards side by side over a width: which, how many, how wide each is ripped; None without boards in stock.

    The fewest boards do; among those the narrowest kind. The last micrometres of an uneven width are left off.
    """
    if not need.joinery.planks:
        return None
    widest = max(plank.width_um for plank in need.joinery.planks)
    count = -(-width_um // widest)
    each = width_um // count
    plank = plank_of(need, each)
    return None if plank is None else (plank, count, each)


def too_long(style: str, flats: Sequence[Flat]) -> NoBox | None:
    """The first piece that is longer or wider than what it is cut from, as a refusal."""
    for flat in flats:
        stuff = flat.stuff
        if not isinstance(stuff, Timber):
            continue
        for size, stock, way in (
            (flat.size_um[0], stuff.length_um, "along"),
            (flat.size_um[1], stuff.width_um, "across"),
        ):
            if size > stock:
                return NoBox(
                    style,
                    "board length",
                    size,
                    stock,
                    f"The {flat.what} of the {style} box is {mm(size)} mm {way} the grain; {stuff.name} is "
                    f"{mm(stock)} mm.",
                )
    return None


def piece(id_: str, what: str, timber: Timber, size_um: tuple[int, int], lows: Sequence[Size], axes: Size) -> Placed:
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
    flat = plain(id_, what, timber, size_um, len(lows), source)
    sides = (size_um[0], size_um[1], timber.thickness_um)
    plates = tuple(
        Plate(
            what,
            low,
            (low[0] + sides[axes[0]], low[1] + sides[axes[1]], low[2] + sides[axes[2]]),
        )
        for low in lows
    )
    return Placed(flat, plates)


def hardware(fastening: Fastening, joints: int, where: str) -> Hardware:
    """The fastenings of so many equal joints."""
    one = fastening.fastener
    return Hardware(one.name, fastening.count * joints, one.each_mg, where, fastening.spacing_um, fastening.rule)


def handles(need: Need) -> tuple[Hardware, ...]:
    """Two rope handles through the ends, where they are asked for."""
    if not need.joinery.rope_handles:
        return ()
    return (Hardware("rope handle, 10 mm, knotted inside", 2, HANDLE_MG, "ends", 0, "weight from memory; weigh one"),)


def outside(need: Need) -> str:
    """What a carrier sees of a bare wooden box."""
    return "wood with rope handles" if need.joinery.rope_handles else "wood"


def wood_parts(flats: Sequence[Flat]) -> tuple[WoodPart, ...]:
    """The wooden pieces, for the treatment rules."""
    return tuple(
        WoodPart(flat.what, flat.stuff.thickness_um, flat.stuff.processed)
        for flat in flats
        if isinstance(flat.stuff, Timber)
    )


def wood_work(flats: Sequence[Flat], fastenings: Sequence[Hardware]) -> tuple[tuple[str, float], ...]:
    """How many cuts, screws, nails and metres of groove."""
    screws = sum(one.count for one in fastenings if "screw" in one.what)
    nails = sum(one.count for one in fastenings if "nail" in one.what)
    groove = sum(flat.count * max(g.high[0] - g.low[0], g.high[1] - g.low[1]) for flat in flats for g in flat.grooves)
    rows = (
        ("board cut", 2.0 * sum(flat.count for flat in flats)),
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


def placed_plates(pieces: Sequence[Placed], names: Sequence[str]) -> tuple[Plate, ...]:
    """The plates of those pieces whose name is in `names`, in the pieces' order."""
    return tuple(plate for one in pieces if one.flat.what in names for plate in one.plates)
