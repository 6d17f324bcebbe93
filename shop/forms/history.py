"""A form of one sentence for the history: why something came back, or what was done."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy


class WhyForm(forms.Form):
    """A reason that stays on record; `optional` where nothing need be said."""

    why = forms.CharField(
        max_length=200, error_messages={"required": gettext_lazy("Give the reason: it stays on record.")}
    )

    def __init__(self, *args: Any, label: Any, optional: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["why"].label, self.fields["why"].required = label, not optional
