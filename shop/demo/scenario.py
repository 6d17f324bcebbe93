"""The invented forge's makes and sales. Every name, number and measure here is made up for demonstration."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

SHOP_NAME = "Forge at Nowhere Quay"
FULL_SET = "set"
"""Of a line: the full set of the first series."""

SHOP: dict[str, Any] = {
    "name": SHOP_NAME,
    "address": "1 Nowhere Quay\nInvented Mills\nNowhere 00000",
    "country": "US",
    "timezone": "America/New_York",
    "currency": "USD",
    "length_unit": "in",
    "weight_unit": "lb",
    "paper": "Letter",
    "is_demo": True,
}

PRICED_BY = ("UPS", "Ground, United States")

BILLED_PRICE_A_POUND = Decimal("0.90")
HOUR_PRICE, FASTENER_PRICE, FOAM_PRICE_M3 = Decimal("32"), Decimal("0.04"), Decimal("290")
FOAM_SHEETS_MM = {
    Decimal("3.175"): 4,
    Decimal("6.35"): 4,
    Decimal("12.7"): 6,
    Decimal("25.4"): 6,
    Decimal("50.8"): 4,
}
"""Sheets of foam in stock by thickness, 1/8 to 2 in; how many is invented."""
INVENTED = "invented for the demonstration"
FOAM_SHEET_MM = {"length_mm": Decimal("1219.2"), "width_mm": Decimal("609.6"), "trim_mm": Decimal("6.35")}
BOARD_PRICE_M2, PLANK_PRICE, PANEL_PRICE = Decimal("1.60"), Decimal("6.50"), Decimal("24")

LOT: dict[str, object] = {
    "name": "Sluice gate axle",
    "source": "Axle of a dismantled sluice gate, carbon steel by spark and file. Invented.",
    "received_kg": Decimal("480"),
    "left_kg": Decimal("330"),
}

FULL_SERIES, SECOND_SERIES = "Sluice", "Millrace"


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


HAMMER_FACES = (("face", 62, 57), ("peen", 61, 48))
EDGE = (("25 mm from the edge", 63, 57), ("poll", 58, 48))

PRODUCTS = (
    Made("Sluice", "Cross peen hammer", "hammer", "none", "CP080", 800, 130, 33, 33, 64, 317, 30, 21, 952,
         (1, 2, 3, 4, 5, 6, 7), HAMMER_FACES),
    Made("Sluice", "Rounding hammer", "hammer", "none", "RH125", 1250, 122, 43, 43, 61, 318, 33, 23, 1432,
         (1, 2, 3, 5, 6, 7, 8), HAMMER_FACES),
    Made("Sluice", "Club hammer", "hammer", "none", "CL150", 1500, 110, 45, 45, 55, 235, 34, 25, 1652,
         (1, 2, 3, 4, 5, 6), (("face", 61, 57), ("second face", 61, 57))),
    Made("Sluice", "Hatchet", "axe", "far", "HX060", 600, 150, 75, 28, 28, 292, 36, 21, 776,
         (1, 2, 3, 4, 6, 7, 8), EDGE),
    Made("Millrace", "Carpenter's axe", "axe", "far", "CX110", 1100, 175, 110, 30, 34, 560, 38, 23, 1470,
         (1, 2, 3, 4, 5, 6, 7), EDGE),
    Made("Millrace", "Hand adze", "adze", "far", "AD090", 900, 190, 55, 60, 58, 300, 34, 24, 1086,
         (1, 2, 3, 4, 5, 6), EDGE),
)  # fmt: skip

KEPT_BACK = ("CP080", 1, "Kept back for the autumn fair.")
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
    "A carpenter (invented)": ("12 Larch Row\nInvented Falls, VT 00000", "US", "in", "lb"),
    "A boatbuilder (invented)": ("3 Ropewalk\nInvented Harbor, ME 00000", "US", "in", "lb"),
    "Warsztat Łyżka i Córki (invented)": ("ul. Zmyślona 7\n00-000 Nigdzie", "PL", "mm", "g"),
    "A collector (invented)": ("Påhittade gränd 4\n000 00 Ingenstad", "SE", "mm", "g"),
}


@dataclass(frozen=True)
class Wanted:
    """One line: a product's code, `FULL_SET`, or a block's name."""

    what: str
    quantity: int = 1
    matched: bool = False
    price: str = ""


ORDERS: tuple[tuple[str, str, tuple[Wanted, ...]], ...] = (
    ("A carpenter (invented)", "One hammer, no hurry.", (Wanted("CP080", 1, price="180"),)),
    ("A boatbuilder (invented)", "", (Wanted("RH125", 1, price="210"), Wanted("CL150", 1, price="215"))),
    ("A carpenter (invented)", "A present; no prices in the box.", (Wanted("CX110", 1, price="320"),)),
    (
        "Warsztat Łyżka i Córki (invented)",
        "For the apprentices.",
        (Wanted("CP080", 2, price="180"), Wanted("Packet of eye wedges", 1, price="12")),
    ),
    (
        "A boatbuilder (invented)",
        "",
        (Wanted("CX110", 1, price="320"), Wanted("AD090", 1, price="290"), Wanted("HX060", 1, price="240")),
    ),
    (
        "A collector (invented)",
        "All four of one number, please.",
        (
            Wanted(FULL_SET, 1, matched=True, price="820"),
            Wanted("Tin of wax and oil", 1, price="14"),
            Wanted("Packet of eye wedges", 1, price="12"),
        ),
    ),
)
