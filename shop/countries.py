"""Countries: chosen by name from a list, kept by their two letters."""

from __future__ import annotations

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django_countries import countries


def country_choices() -> list[tuple[str, str]]:
    """Every country's two letters and name in the reader's language, by name; nothing chosen to begin with."""
    return [("", _("Choose …")), *((code, str(name)) for code, name in countries)]


def country_name(code: str) -> str:
    """The name of a country by its two letters, as it stands on a letter; an unknown one's letters."""
    return str(countries.name(code) or code)


def is_country(code: str) -> bool:
    """Tell whether two letters are a country's."""
    return code in countries


def known_country(code: str) -> None:
    """Raise ValidationError unless the two letters are a country's."""
    if not is_country(code):
        raise ValidationError(_("“%(code)s” is not a country’s two letters, such as SE."), params={"code": code})


class CountryField(forms.ChoiceField):
    """A country, chosen by name; gives its two letters."""

    default_error_messages = {
        "required": gettext_lazy("Choose the country."),
        "invalid_choice": gettext_lazy("“%(value)s” is not a country of the list: choose one by its name."),
    }

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**{"label": gettext_lazy("Country"), "choices": country_choices, **kwargs})  # type: ignore[arg-type]
