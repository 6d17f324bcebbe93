"""Names of sheets, parts and layers on papers."""

from __future__ import annotations

from django.utils.translation import gettext as _

from shop.adapter.plan_parts import (
    Part,
    SheetRole,
)


def layer_name(layer: int | None, layers: int) -> str:
    """A layer in words, the same as under the drawings."""
    if layer is None or layers == 1:
        return _("All pieces")
    if layer in (0, layers - 1):
        return _("Bottom layer") if layer == 0 else _("Top layer")
    return _("Layer %(number)d from the bottom") % {"number": layer + 1}


def role_names() -> dict[SheetRole, str]:
    """The names of sheets, by their role in the plan."""
    return {
        SheetRole.BASE: _("base pad"),
        SheetRole.LAYER: _("layer"),
        SheetRole.COVER: _("cover, laid on over the pieces"),
        SheetRole.BETWEEN: _("pad between layers"),
        SheetRole.TOP: _("top pad"),
    }


def part_names() -> dict[Part, str]:
    """The parts of an item, by their names in the plan."""
    return {
        Part.HEAD: _("head"),
        Part.HANDLE: _("handle"),
        Part.BLOCK: _("block"),
        Part.NOTCH: _("notch"),
        Part.PLATE: _("plate"),
    }
