"""The pictures of a plan, or of the content of a stored one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from packing import draw
from packing.plan import Plan, plan_from_json

Options = ParamSpec("Options")
Picture = TypeVar("Picture")


def _of_content(
    function: Callable[Concatenate[Plan, Options], Picture],
) -> Callable[Concatenate[Plan | Mapping[str, object], Options], Picture]:
    """The same picture from a plan, or from its stored content."""

    @wraps(function)
    def drawn(plan: Plan | Mapping[str, object], *args: Options.args, **options: Options.kwargs) -> Picture:
        return function(plan if isinstance(plan, Plan) else plan_from_json(plan), *args, **options)

    return drawn


blank_drawing = _of_content(draw.blank_drawing)
isometric = _of_content(draw.isometric)
piece_drawing = _of_content(draw.piece_drawing)
plan_view = _of_content(draw.plan_view)
pocket_picture = draw.pocket_picture
rod_pages = draw.rod_pages
sheet_drawing = _of_content(draw.sheet_drawing)
box_section = _of_content(draw.box_section)
corner_pages = _of_content(draw.corner_pages)
lid_section = _of_content(draw.lid_section)
side_section = _of_content(draw.side_section)
small_box = _of_content(draw.small_box)
step_drawing = _of_content(draw.step_drawing)
tape_picture = _of_content(draw.tape_picture)
template_pages = draw.template_pages
