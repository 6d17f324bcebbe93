"""The cautions that go with a set of cutting files, and what its lines mean."""

from packing.draw.cut_way import CutWay
from packing.plan.kinds import Cutter

CALLED = {
    Cutter.KNIFE: "a knife",
    Cutter.LASER: "a laser",
    Cutter.ROUTER: "a router",
    Cutter.HOT_WIRE: "a hot wire",
    Cutter.BAND_SAW: "a band saw",
}
_CAUTIONS = {
    Cutter.KNIFE: """\
Knife: a sharp blade and shallow passes along a straightedge, away from the hand that holds it; a cut-resistant glove on
that hand. A machine that drags a knife starts by itself: hands off its table while it has power.
""",
    Cutter.LASER: """\
Laser: never leave it running alone. Extraction on, an extinguisher at hand: foam, board and wood catch fire.
Never cut PVC or a foam you do not know: the fumes poison people and eat the machine.
""",
    Cutter.ROUTER: """\
Router: eye and ear protection, the sheet held down all round, no gloves, hands and sleeves clear of the bit. Foam winds
round a blunt bit and melts: sharp bit, low speed, extraction.
""",
    Cutter.HOT_WIRE: """\
Hot wire: it burns skin and lights foam. Work out of doors or under extraction: the fumes harm the lungs. Never on foam
you do not know. Current off before the wire is touched or threaded.
""",
    Cutter.BAND_SAW: """\
Band saw: guard down to the foam, eye protection, no gloves, fingers never in line with the blade. Foam grabs: feed it
slowly and flat on the table.
""",
}
_ENTRY = """\
The single lines are ways in: follow each one to the pocket, go round, come back the same way. Close the slit afterwards
with tape, or with glue that does not stain steel and that has cured before a tool lies near it.
"""
_ALWAYS = """\
Every powered blade: eye protection, no gloves near it. Drills: the piece clamped. Dust of foam, board and wood:
extraction or a mask. Nothing is cut before one pocket has been tried on its tool in waste of the same sheet.
These are the usual cautions (common practice, no source). Local codes, the makers' own data for machine and material,
and licensed practice come first.
"""


def cautions_for(way: CutWay) -> str:
    """Say what the lines of the files are and how not to get hurt by them.

    Parameters
    ----------
    way
        How the files are cut.

    Returns
    -------
    str
        Plain text, some ten lines.
    """
    if not way.kerf_um:
        lines = f"Lines are the edges of parts and pockets, for {CALLED[way.tool]} that removes no material.\n"
    elif way.moved:
        lines = (
            f"Lines are the middle of a cut of {way.kerf_um / 1000:g} mm by {CALLED[way.tool]}, half of it "
            "beside each edge in what falls out.\nSwitch off the machine's own correction, and try the width first.\n"
        )
    else:
        lines = (
            f"Lines are the edges of parts and pockets: the machine moves {CALLED[way.tool]} by half of its cut of "
            f"{way.kerf_um / 1000:g} mm, outside of parts and inside of pockets. Without that pockets get "
            "wider by the cut.\n"
        )
    # Lines that are the edges themselves are what a laser is given, too.
    tools = dict.fromkeys((way.tool, *(() if way.kerf_um else (Cutter.LASER,))))
    told = [lines, _ENTRY if way.threaded else "", *(_CAUTIONS[tool] for tool in tools), _ALWAYS]
    return "".join(told)
