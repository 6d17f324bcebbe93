"""Loads the invented demonstration once, plans its matched full set, writes its papers and prints a summary."""

from __future__ import annotations

import signal
import threading
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from django.core.management.base import CommandParser

from shop.demo import show
from shop.services.errors import CannotPlan, JobCancelled


class Command(BaseCommand):
    help = "Load the invented demonstration once, plan its matched full set and write its papers."

    def add_arguments(self, parser: CommandParser | ArgumentParser) -> None:
        parser.add_argument("--out", default=str(settings.BASE_DIR / "out"), help="folder for the papers (out/)")

    def handle(self, *args: Any, **options: Any) -> None:
        stopping = threading.Event()
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, lambda *_: stopping.set())
        try:
            shown = show(Path(options["out"]), stop=stopping.is_set)
        except (CannotPlan, OSError) as error:
            raise CommandError(str(error)) from error
        except JobCancelled as error:
            raise CommandError("Stopped before the plan was made.") from error
        self.stdout.write("\n".join(shown.lines))
