"""Passwords that are none although they are long."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

LEAST = 4


class DifferentCharacters:
    """A password has several different characters; blanks do not count."""

    def validate(self, password: str, user: Any = None) -> None:
        """Raise ValidationError for one of fewer than `LEAST` different characters."""
        if len(set("".join(password.split()))) < LEAST:
            raise ValidationError(self.get_help_text(), code="password_too_plain")

    def get_help_text(self) -> str:
        return _("A password has at least %(least)d different characters; blanks do not count.") % {"least": LEAST}
