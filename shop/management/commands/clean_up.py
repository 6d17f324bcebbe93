"""manage.py clean_up: puts away old boxes offered and papers out of date."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from shop.papers.clean_up import clean_up


class Command(BaseCommand):
    help = "Puts away boxes offered with old plans and papers out of date; the worker does it every six hours."

    def handle(self, *args: Any, **options: Any) -> None:
        done = clean_up()
        self.stdout.write(f"Put away: the boxes offered with {done.plans} plans, and {done.papers} papers.")
