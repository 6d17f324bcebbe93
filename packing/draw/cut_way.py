"""The tool that a cutting file is for: what its cut takes, and whether the lines are moved by half of that."""

from dataclasses import dataclass

from packing.measure import BadInput
from packing.messages import Length, Message
from packing.plan.kinds import Cutter

USUAL_KERF_UM = {
    Cutter.KNIFE: 0,
    Cutter.LASER: 300,
    Cutter.SAW: 3_200,
    Cutter.ROUTER: 6_000,
    Cutter.HOT_WIRE: 1_600,
    Cutter.BAND_SAW: 1_200,
}
"""The width of a cut: a laser 0.2 to 0.5 mm, a hot wire 0.8 to 3, a band saw 0.8 to 1.5, a router its bit (common
practice, no source; a trial cut in the same material decides)."""
MOST_KERF_UM = 25_000
FOLLOWERS = (Cutter.KNIFE, Cutter.LASER, Cutter.ROUTER, Cutter.HOT_WIRE, Cutter.BAND_SAW)
"""Tools that follow any line; a table saw cuts straight across alone."""
FOAM_ALONE = (Cutter.HOT_WIRE,)
"""Tools that cut nothing but foam."""
THREADED = (Cutter.HOT_WIRE, Cutter.BAND_SAW)
"""Tools that cannot be set down inside a sheet: they come to a pocket from the edge."""


@dataclass(frozen=True, slots=True)
class CutWay:
    """The way a cutting file is cut.

    Parameters
    ----------
    tool
        One of `FOLLOWERS`.
    kerf_um
        Width of its cut in micrometres, 0 to `MOST_KERF_UM`; of a router the diameter of its bit.
    moved
        True: the lines are the middle of the cut, half of it beside the edge in what falls out. False: the lines are
        the edges themselves, and the machine does the rest.
    """

    tool: Cutter = Cutter.KNIFE
    kerf_um: int = 0
    moved: bool = True

    def __post_init__(self) -> None:
        if self.tool not in FOLLOWERS:
            raise BadInput("tool", f"must be one of {', '.join(FOLLOWERS)}, not {self.tool}.")
        if not 0 <= self.kerf_um <= MOST_KERF_UM:
            raise BadInput(
                "kerf",
                Message("must be 0 to {most}, not {kerf}.", most=Length(MOST_KERF_UM), kerf=Length(self.kerf_um)),
            )

    @property
    def threaded(self) -> bool:
        """True where the tool comes to each pocket from the edge of the sheet."""
        return self.tool in THREADED

    @property
    def aside_um(self) -> int:
        """The distance by which the lines are moved off the edges, in micrometres."""
        return self.kerf_um // 2 if self.moved else 0


ON_THE_LINE = CutWay()
"""Cut by a knife, which removes no material: the lines are the edges."""
