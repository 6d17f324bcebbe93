"""The tool that cutting files are asked for."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from shop import adapter
from shop.adapter.plan_parts import Cutter
from shop.forms.fields import Cleaned, MeasureField

_TOOLS = {
    Cutter.KNIFE: gettext_lazy("knife, or any machine: lines are the edges"),
    Cutter.LASER: gettext_lazy("laser"),
    Cutter.ROUTER: gettext_lazy("router"),
    Cutter.HOT_WIRE: gettext_lazy("hot wire, foam alone"),
    Cutter.BAND_SAW: gettext_lazy("band saw"),
}
MOVED, ON_EDGES = "file", "machine"


class CutFilesForm(forms.Form):
    """The tool that cuts, the width of its cut, and whether the file or the machine allows for that."""

    tool = forms.ChoiceField(
        label=gettext_lazy("Cut by"), choices=[(tool.value, _TOOLS[tool]) for tool in adapter.FOLLOWERS]
    )
    kerf = MeasureField(
        label=gettext_lazy("Its cut takes"),
        required=False,
        help_text=gettext_lazy(
            "Empty: what is usual; a knife takes nothing. Of a router the diameter of its bit. Try it in the same "
            "material first."
        ),
    )
    allowed_by = forms.ChoiceField(
        label=gettext_lazy("Half of that beside each edge"),
        required=False,
        choices=[
            (MOVED, gettext_lazy("is in the file: lines are the middle of the cut")),
            (ON_EDGES, gettext_lazy("is left to the machine: lines are the edges")),
        ],
    )

    def __init__(self, *args: Any, unit: str, **kwargs: Any) -> None:
        super().__init__(*args, **{"auto_id": "cut-files-%s", **kwargs})
        kerf = self.fields["kerf"]
        if isinstance(kerf, MeasureField):
            kerf.use(unit)

    def clean(self) -> Cleaned:
        cleaned = super().clean() or {}
        if not self.errors:
            try:
                cleaned["way"] = adapter.cut_way(
                    Cutter(cleaned["tool"]), cleaned["kerf"], moved=cleaned["allowed_by"] != ON_EDGES
                )
            except adapter.BadInput as fault:
                self.add_error("kerf", str(fault.message))
        return cleaned

    @property
    def way(self) -> adapter.CutWay:
        """As it was asked for."""
        way: adapter.CutWay = self.cleaned_data["way"]
        return way
