"""Restores a back-up into an empty shop and checks it."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand, CommandError
from django.core.management.base import CommandParser
from django.db import DatabaseError

from shop.backup import BackupRefused, restore
from shop.worker.server import AlreadyRunning, Hold


class Command(BaseCommand):
    help = "Restore a back-up into an empty shop: all of it or nothing. Counts, numbers, papers and plans are checked."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser | ArgumentParser) -> None:
        parser.add_argument("file", help="A file that “manage.py backup” made, on either database.")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            hold = Hold(settings.DATA_DIR / "serve.lock")
        except AlreadyRunning as other:
            raise CommandError(f"Stowright is running ({other}): stop it, then restore.") from other
        try:
            restored = restore(Path(options["file"]).expanduser().absolute())
        except BackupRefused as refusal:
            raise CommandError(str(refusal)) from refusal
        except (OSError, DatabaseError) as error:
            raise CommandError(f"The back-up was not restored: {error}") from error
        finally:
            hold.release()
        manifest = restored.manifest
        rows = sum(table.rows for table in manifest.tables.values())
        self.stdout.write(
            f"Restored as of {manifest.made_at}: {rows} rows, {manifest.papers} papers, {restored.plans} plans. "
            "Every row was read again and is the same. Everyone logs in again."
        )
        if restored.problems:
            raise CommandError(
                "All is restored, but these plans do not pass the checker today; plan the orders again before they "
                "are packed:\n" + "\n".join(restored.problems)
            )
