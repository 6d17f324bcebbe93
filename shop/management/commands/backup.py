"""Writes everything the shop keeps into one file, while it runs."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management import BaseCommand, CommandError
from django.core.management.base import CommandParser
from django.db import DatabaseError

from shop.backup import BackupRefused, backup


class Command(BaseCommand):
    help = "Write everything the shop keeps (rows, papers, secret key) into one new file; the shop may go on running."

    def add_arguments(self, parser: CommandParser | ArgumentParser) -> None:
        parser.add_argument("file", help="A new file; keep it where only you can read it.")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            saved = backup(Path(options["file"]).expanduser().absolute())
        except BackupRefused as refusal:
            raise CommandError(str(refusal)) from refusal
        except (OSError, DatabaseError) as error:
            raise CommandError(f"The back-up was not made: {error}") from error
        manifest = saved.manifest
        said = f"{saved.path}: {saved.rows} rows and {manifest.papers} papers, as they were at {manifest.made_at}."
        if not manifest.with_key:
            said += " The secret key comes from STOWRIGHT_SECRET_KEY and is not in it."
        if manifest.missing_papers:
            said += f" {len(manifest.missing_papers)} papers have no file: print them again."
        self.stdout.write(said + " Whoever has this file has everything: keep it safe.")
