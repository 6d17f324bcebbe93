"""Makes a one-time link for one more owner: for a shop whose owner cannot log in any more."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management import BaseCommand
from django.urls import reverse

from shop.access.first_owner import owner_link_anew
from shop.worker.server import address_of_running


class Command(BaseCommand):
    help = "Make a link, good once and for an hour, by which one more owner of the shop gets in."

    def handle(self, *args: Any, **options: Any) -> None:
        link = reverse("first-owner", args=[owner_link_anew()])
        address = address_of_running(settings.DATA_DIR)
        if address:
            self.stdout.write(f"This link makes one more owner, once: {address.rstrip('/')}{link}")
        else:
            self.stdout.write(f"This address makes one more owner, once; put it after that of your shop: {link}")
        self.stdout.write("It works for an hour; earlier links have stopped working.")
