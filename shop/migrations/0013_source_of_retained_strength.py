"""What time and damp leave of a strength is from pages read in 2026, not from the formula's paper of 1963."""

from typing import Any

from django.db import migrations

BEFORE = {
    "source": "McKee, Gander and Wachuta 1963, simplified; multipliers from an industry handbook's table",
    "year": "1963",
}
AFTER = {
    "source": "industry handbook's table of retained strength, as later pages print it",
    "year": "pages read in 2026",
}


def _mark(apps: Any, before: dict[str, str], after: dict[str, str]) -> None:
    rules = apps.get_model("shop", "GradeRule").objects
    rules.filter(kind__in=("days", "humidity"), **before).update(**after)


def mark(apps: Any, _schema_editor: Any) -> None:
    """Lines that still carry the old mark get the right one; what a shop has edited stays."""
    _mark(apps, BEFORE, AFTER)


def unmark(apps: Any, _schema_editor: Any) -> None:
    """Back to the old mark."""
    _mark(apps, AFTER, BEFORE)


class Migration(migrations.Migration):
    dependencies = [("shop", "0012_rows_a_box_was_made_from")]

    operations = [migrations.RunPython(mark, unmark)]
