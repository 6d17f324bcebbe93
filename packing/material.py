"""What the insert and the box are made of, as dated, sourced values that the user can replace."""

from dataclasses import dataclass
from decimal import Decimal


def grams_shown(mg: int, places: int = 1) -> int | float:
    """Whole milligrams as a JSON number of grams with so many decimals (0 to 3), half up; whole where it is whole."""
    whole: int = 10**places
    unit: int = 1000 // whole
    steps = (2 * mg + unit) // (2 * unit)
    return steps // whole if steps % whole == 0 else steps / whole


@dataclass(frozen=True, slots=True)
class Foam:
    """Sheet foam for inserts.

    Parameters
    ----------
    name
        As on the cut list.
    density_g_m3
        Whole grams per cubic metre, so that weights stay exact; 27 kg/m³ is 27000.
    fit_um
        Room cut around a part on each side, from 0 (snug, for soft foam) up to the clearance.
    spread
        Relative standard deviation of the density, for the weight's tolerance.
    source
        Where the values come from and how sure they are.
    """

    name: str
    density_g_m3: int
    fit_um: int
    spread: float
    source: str


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
        Where the values come from and how sure they are.
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


@dataclass(frozen=True, slots=True)
class Sundry:
    """Something small that rides along and weighs: tape by the metre, papers, wraps, guards, lift tape.

    Parameters
    ----------
    what
        The name on the weight list.
    unit
        "m" or "each".
    each_mg
        Weight of one unit.
    spread
        Relative standard deviation.
    source
        Where the weight comes from.
    """

    what: str
    unit: str
    each_mg: int
    spread: float
    source: str


@dataclass(frozen=True, slots=True)
class Carton:
    """A stock carton as bought.

    Parameters
    ----------
    name
        As the shop calls it.
    inner_um
        Inside length, width and height, at the opening.
    board
        Its board.
    price
        As text, shown and never computed with; "" where unknown.
    """

    name: str
    inner_um: tuple[int, int, int]
    board: Board
    price: str = ""


PE_FOAM = Foam(
    "PE foam",
    27_000,
    0,
    0.05,
    "1.7 lb/ft³ plank, 27.2 kg/m³, from memory; snug cut 0 to −2 mm is common practice, no source",
)
STIFF_SHEET = Foam(
    "birch plywood",
    680_000,
    0,
    0.05,
    "650 to 700 kg/m³, from memory; under heads that lie over pockets: common practice, no source",
)
C_FLUTE = Board(
    "42-26C-42 single wall",
    "C",
    "200 psi burst",
    4_000,
    601_000,
    35_000,
    0.03,
    "caliper from trade tables; grammage from 42 + 42 lb liners, 26 lb medium at take-up 1.43 and glue, "
    "derived from memory",
    burst_psi=200,
    facings_lb=84,
    ect_lb_in=32,
)
LIFT_TAPE = Sundry("lift tape, 25 mm cotton", "m", 7_000, 0.1, "weighed by nobody yet: from memory; weigh a roll")
CLOSING_TAPE = Sundry(
    "closing tape, 60 mm reinforced paper",
    "m",
    8_500,
    0.1,
    "about 140 g/m² from memory; weigh a roll before relying on it",
)
PAPERS = Sundry("papers, one sheet A4 or Letter", "each", 5_000, 0.03, "A4 at 80 g/m², derived")
WRAP = Sundry("corrosion-inhibiting wrap", "each", 6_500, 0.2, "from memory; weigh one")
EDGE_GUARD = Sundry("edge guard", "each", 18_000, 0.25, "from memory; weigh one")
