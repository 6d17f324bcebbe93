"""What the invented forge has made and sold. Every name, number and measure here is made up for demonstration."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

SHOP: dict[str, Any] = {
    "name": "Kestrel Lane Forge",
    "address": "1 Kestrel Lane\nInvented Quay\nNowhere 00000",
    "country": "US",
    "timezone": "America/New_York",
    "currency": "USD",
    "length_unit": "in",
    "weight_unit": "lb",
    "paper": "Letter",
    "is_demo": True,
}

PRICED_BY = ("UPS", "Ground, United States")

HOUR_PRICE, FASTENER_PRICE = Decimal("32"), Decimal("0.04")
BOARD_PRICE_M2, PLANK_PRICE, PANEL_PRICE = Decimal("1.60"), Decimal("6.50"), Decimal("24")

LOT: dict[str, Any] = {
    "name": "Dock crane rail",
    "source": "Rail of a dismantled dock crane, carbon steel by spark and file. Invented.",
    "received_kg": Decimal("640"),
    "left_kg": Decimal("210"),
}

FULL_SERIES, SECOND_SERIES = "Dockside", "Tideway"


@dataclass(frozen=True)
class Made:
    """A product and what its pieces measure about: mm and g, before the scatter of the hand.

    `numbers` are those stamped so far: a gap is a number lost at the anvil.
    """

    series: str
    pattern: str
    form: str
    sharp: str
    code: str
    head_g: int
    head_length: float
    head_height: float
    head_width: float
    eye_offset: float
    handle_length: float
    handle_width: float
    handle_thickness: float
    weight_g: int
    numbers: tuple[int, ...]
    hardness: tuple[tuple[str, int, int], ...]


HAMMER_FACES = (("face", 61, 54), ("peen", 60, 52))
EDGE = (("25 mm from the edge", 62, 55),)

PRODUCTS = (
    Made("Dockside", "Cross peen hammer", "hammer", "none", "CP080", 800, 130, 33, 33, 64, 317, 30, 21, 952,
         (1, 2, 3, 4, 5, 6, 7), HAMMER_FACES),
    Made("Dockside", "Straight peen hammer", "hammer", "none", "SP125", 1250, 140, 39, 39, 69, 325, 33, 23, 1436,
         (1, 2, 3, 5, 6, 7, 8), HAMMER_FACES),
    Made("Dockside", "Club hammer", "hammer", "none", "CL150", 1500, 110, 45, 45, 55, 235, 34, 25, 1652,
         (1, 2, 3, 4, 5, 6), (("face", 60, 53), ("second face", 60, 53))),
    Made("Dockside", "Hatchet", "axe", "far", "HX060", 600, 150, 75, 28, 28, 330, 36, 21, 790,
         (1, 2, 3, 4, 6, 7, 8), EDGE),
    Made("Tideway", "Carpenter's axe", "axe", "far", "CX110", 1100, 175, 110, 30, 34, 560, 38, 23, 1470,
         (1, 2, 3, 4, 5, 6, 7), EDGE),
    Made("Tideway", "Hand adze", "adze", "far", "AD090", 900, 190, 55, 60, 58, 300, 34, 24, 1086,
         (1, 2, 3, 4, 5, 6), EDGE),
)  # fmt: skip

KEPT_BACK = ("CP080", 1, "The first of its product; the forge keeps it.")
MIS_STAMPED = ("CX110", 2, "The 2 was struck upside down; the axe hangs in the forge.")

BLOCKS = {
    "Tin of wax and oil": {"length": 70, "width": 70, "height": 30, "weight_g": 120, "upright": True},
    "Packet of eye wedges": {"length": 90, "width": 60, "height": 20, "weight_g": 180, "upright": False},
}

CARTONS = (
    ("Carton 24 x 8 x 8 in", 609.6, 203.2, 203.2),
    ("Carton 20 x 12 x 8 in", 508, 304.8, 203.2),
    ("Carton 36 x 12 x 8 in", 914.4, 304.8, 203.2),
)

CUSTOMERS = {
    "Ada Thornwood (invented)": ("12 Larch Row\nInvented Falls, VT 00001", "US", "in", "lb"),
    "Bram Okonjo (invented)": ("3 Ropewalk\nInvented Harbor, ME 00002", "US", "in", "lb"),
    "Workshop Łukasz & Daughters (invented)": ("ul. Zmyślona 7\n00-003 Nigdzie", "PL", "mm", "g"),
    "Collector's Room (invented)": ("Galleri Påhittet 4\n000 04 Ingenstad", "SE", "mm", "g"),
}


@dataclass(frozen=True)
class Wanted:
    """One line: a product's code, "set" for the full set of the first series, or a block's name."""

    what: str
    quantity: int = 1
    matched: bool = False
    price: str = ""


ORDERS: tuple[tuple[str, str, tuple[Wanted, ...]], ...] = (
    ("Ada Thornwood (invented)", "One hammer, no hurry.", (Wanted("CP080", 1, price="180"),)),
    ("Bram Okonjo (invented)", "", (Wanted("SP125", 1, price="210"), Wanted("CL150", 1, price="215"))),
    ("Ada Thornwood (invented)", "A present; no prices in the box.", (Wanted("CX110", 1, price="320"),)),
    (
        "Workshop Łukasz & Daughters (invented)",
        "For the apprentices.",
        (Wanted("CP080", 2, price="180"), Wanted("Packet of eye wedges", 1, price="12")),
    ),
    (
        "Bram Okonjo (invented)",
        "",
        (Wanted("CX110", 1, price="320"), Wanted("AD090", 1, price="290"), Wanted("HX060", 1, price="240")),
    ),
    (
        "Collector's Room (invented)",
        "All four of one number, please.",
        (
            Wanted("set", 1, matched=True, price="820"),
            Wanted("Tin of wax and oil", 1, price="14"),
            Wanted("Packet of eye wedges", 1, price="12"),
        ),
    ),
)
