"""Styles by code: each is one module in `packing.boxes.styles` that registers itself once."""

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from packing.boxes.cutting import cannot_cut
from packing.boxes.design import BoxDesign, Infeasible
from packing.boxes.spec import BoxSpec
from packing.measure import BadInput
from packing.plan.kinds import ContainerKind

Maker = Callable[[BoxSpec], BoxDesign | Infeasible]


@dataclass(frozen=True, slots=True)
class Style:
    """A style of box.

    Parameters
    ----------
    code
        From the international fibreboard case code, or plain words: "0201", "ply".
    name, family
        In words; what it is made from.
    order
        Place in lists.
    make
        Makes it for a need, or says why it cannot.
    """

    code: str
    name: str
    family: ContainerKind
    order: int
    make: Maker


_STYLES: dict[str, Style] = {}


def register(code: str, name: str, family: ContainerKind, *, order: int) -> Callable[[Maker], Maker]:
    """Register a style: a decorator for the one function that makes it.

    Parameters
    ----------
    code, name, family
        Its code, its name, what it is made from.
    order
        Its place in the list of styles.

    Returns
    -------
    Callable
        Hands the function back as it was.

    Raises
    ------
    BadInput
        The code is taken.
    """

    def keep(make: Maker) -> Maker:
        if code in _STYLES:
            raise BadInput("style", f"{code} is registered twice.")
        _STYLES[code] = Style(code, name, family, order, make)
        return make

    return keep


@cache
def _load() -> None:
    # Not at import: the styles import this module themselves, to register.
    package = importlib.import_module("packing.boxes.styles")
    for module in pkgutil.iter_modules(package.__path__):
        importlib.import_module(f"{package.__name__}.{module.name}")


def all_styles(family: ContainerKind | None = None) -> tuple[Style, ...]:
    """List the registered styles.

    Parameters
    ----------
    family
        Only styles of this material; None for all.

    Returns
    -------
    tuple of Style
        By the place that each was registered with.
    """
    _load()
    listed = sorted(_STYLES.values(), key=lambda style: (style.order, style.code))
    return tuple(style for style in listed if family in (None, style.family))


def style_of(code: str) -> Style:
    """Find a style by its code.

    Parameters
    ----------
    code
        Such as "0201".

    Returns
    -------
    Style

    Raises
    ------
    BadInput
        There is none; the message lists those there are.
    """
    _load()
    if code not in _STYLES:
        raise BadInput("style", f"must be one of {', '.join(sorted(_STYLES))}, not {code!r}.")
    return _STYLES[code]


def make_box(code: str, spec: BoxSpec) -> BoxDesign | Infeasible:
    """Make one box of a style.

    Parameters
    ----------
    code
        See `all_styles`.
    spec
        Interior, board, joinery.

    Returns
    -------
    BoxDesign or Infeasible
        Infeasible where stock does not allow it, or may not be cut as the style asks, with the limit and the value.

    Raises
    ------
    BadInput
        An unknown style; an interior or room out of range.
    """
    design = style_of(code).make(spec)
    return design if isinstance(design, Infeasible) else cannot_cut(design) or design
