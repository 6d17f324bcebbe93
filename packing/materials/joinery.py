"""The wood, the fasteners and the measures that wooden boxes are made with."""

from dataclasses import dataclass

from packing.materials.defaults import PLANKS, PLYWOOD
from packing.materials.fasteners import NAILS, SCREWS, Fastener
from packing.materials.wood import Timber


@dataclass(frozen=True, slots=True)
class Joinery:
    """The making of the wooden styles.

    Parameters
    ----------
    planks, panels
        Sawn boards and plywood in stock, narrow or thin first.
    screws, nails
        What the shop has.
    side_um
        Least thickness of plywood sides; None: 9 mm up to 5 kg of contents, 12 mm up to 20 kg, 15 mm above.
    groove_um
        Width of the groove for a sliding lid, the cutter's width.
    lid_um
        Least thickness of a sliding lid.
    play_um
        By how much a tongue is thinner than its groove, and ends before the groove's bottom.
    side_play_um
        Room of a sliding lid, above its tongue, to each side and to the far end (common practice, no source): a lid as
        wide as the inside jams.
    rope_handles
        Boxes of sawn boards and of plywood get two; a carrier may charge handling for them.
    feet
        Boxes of sawn boards and of plywood stand on two, so that fingers go under them.
    """

    planks: tuple[Timber, ...] = PLANKS
    panels: tuple[Timber, ...] = PLYWOOD
    screws: tuple[Fastener, ...] = SCREWS
    nails: tuple[Fastener, ...] = NAILS
    side_um: int | None = None
    groove_um: int = 6_000
    lid_um: int = 9_000
    play_um: int = 500
    side_play_um: int = 1_000
    rope_handles: bool = False
    feet: bool = False
