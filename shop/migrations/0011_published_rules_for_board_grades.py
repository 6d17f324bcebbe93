"""The published lines for every shop there is, to be checked and edited."""

from decimal import Decimal
from typing import Any

from django.db import migrations

POSTAL = ("USPS Publication 2, exhibit 2-3.1.3", "as read in 2026; edition of the 2000s", "primary")
DENSE = ("USPS Publication 2, section 6-3", "as read in 2026; edition of the 2000s", "primary")
_ITEM_222, _READ = "NMFC Item 222 (made for truck and rail, not for parcels)", "trade pages read in 2026"
FREIGHT, FROM_MEMORY = (_ITEM_222, _READ, "secondary"), (_ITEM_222, _READ, "memory")
STACKING = (
    "McKee, Gander and Wachuta 1963, simplified; multipliers from an industry handbook's table",
    "1963",
    "secondary",
)
POSTAL_LINES = (
    (20, None, 67, 125),
    (40, 20, 100, 175),
    (65, 45, 108, 200),
    (70, 65, 108, 275),
    (None, 70, 108, 350),
)
FREIGHT_LINES = (
    ("single", 20, 40, 125, 52, 23),
    ("single", 35, 50, 150, 66, 26),
    ("single", 50, 60, 175, 75, 29),
    ("single", 65, 75, 200, 84, 32),
    ("single", 80, 85, 250, 111, 40),
    ("single", 95, 95, 275, 138, 44),
    ("single", 120, 105, 350, 180, 55),
    ("double", 80, 85, 200, 92, 42),
    ("double", 100, 95, 275, 110, 48),
    ("double", 120, 105, 350, 126, 51),
    ("double", 140, 110, 400, 180, 61),
    ("double", 160, 115, 500, 222, 71),
    ("double", 180, 120, 600, 270, 82),
)
DAYS = ((10, "0.63"), (30, "0.60"), (90, "0.55"), (180, "0.50"))
HUMIDITY = ((50, "1.0"), (60, "0.90"), (70, "0.80"), (80, "0.68"), (90, "0.48"), (100, "0.15"))


def lines() -> list[dict[str, Any]]:
    found = [
        _line("postal", POSTAL, easy_lb=easy, weight_lb=hard, size_in=size, burst_psi=burst)
        for easy, hard, size, burst in POSTAL_LINES
    ]
    found += [_line("dense board", DENSE, weight_lb=most, burst_psi=burst) for most, burst in ((45, 200), (70, 275))]
    found.append(_line("high density", DENSE, weight_lb=15, limit_lb_ft2=60))
    for wall, most, size, burst, facings, crush in FREIGHT_LINES:
        source = FREIGHT if (wall, burst) == ("single", 200) else FROM_MEMORY
        values = {"weight_lb": most, "size_in": size, "burst_psi": burst, "facings_lb": facings, "ect_lb_in": crush}
        found.append(_line("freight", source, wall=wall, **values))
    for kind, table in (("days", DAYS), ("humidity", HUMIDITY)):
        found += [_line(kind, STACKING, up_to=up_to, factor=Decimal(factor)) for up_to, factor in table]
    return found


def _line(kind: str, source: tuple[str, str, str], **values: Any) -> dict[str, Any]:
    return {"kind": kind, **values, "source": source[0], "year": source[1], "sureness": source[2]}


def fill(apps: Any, schema_editor: Any) -> None:
    grade_rule = apps.get_model("shop", "GradeRule")
    for shop in apps.get_model("shop", "Shop").objects.all():
        if not grade_rule.objects.filter(shop=shop).exists():
            grade_rule.objects.bulk_create(grade_rule(shop=shop, **line) for line in lines())


def empty(apps: Any, schema_editor: Any) -> None:
    """Nothing to take back: the table goes with the migration before."""


class Migration(migrations.Migration):
    dependencies = [("shop", "0010_rules_for_board_grades")]

    operations = [migrations.RunPython(fill, empty)]
