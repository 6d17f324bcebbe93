"""Draws the README's picture from a plan file."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from django.core.management.base import CommandParser

from shop import adapter
from shop.demo.picture import picture

PICTURE = settings.BASE_DIR / "shop" / "static" / "shop" / "open-box.svg"


class Command(BaseCommand):
    help = "Draw the README's picture, the open box and its bottom layer from above, from a plan file."

    def add_arguments(self, parser: CommandParser | ArgumentParser) -> None:
        parser.add_argument("plan", metavar="PLAN.json", help="a plan file, such as the demonstration's in out/")
        parser.add_argument("--out", default=str(PICTURE), help="the SVG file (the README's picture)")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            content = json.loads(Path(options["plan"]).read_text(encoding="utf-8"))
            svg = picture(content)
            Path(options["out"]).write_text(svg, encoding="utf-8")
        except (OSError, ValueError, adapter.BadInput) as error:
            raise CommandError(str(error)) from error
        self.stdout.write(f"{options['out']} is drawn.")
