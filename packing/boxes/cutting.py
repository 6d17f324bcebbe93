"""How the pieces of a box have to be cut, and whether their stock may be cut so."""

from packing.boxes.design import Flat, Made, NoBox
from packing.material import Board

STRAIGHT_CORNERS = 4
FREE, STRAIGHT, GROOVED = ("knife", "laser"), ("knife", "laser", "saw"), ("saw",)


def is_odd(flat: Flat) -> bool:
    """Whether a piece has slots, notches or inner corners, which no straight cut from edge to edge makes."""
    return bool(flat.slots) or len(flat.outline) != STRAIGHT_CORNERS


def ways_to_cut(flat: Flat) -> tuple[tuple[str, ...], ...]:
    """What a piece needs, each a choice of ways of which one must do.

    Parameters
    ----------
    flat
        A piece of a box.

    Returns
    -------
    tuple of tuples
        A saw cuts straight from edge to edge, what is odd needs a knife or a laser. A groove is sawn, it goes part of
        the way through. Wood is not cut with a knife.
    """
    outline: tuple[str, ...] = FREE if is_odd(flat) else STRAIGHT
    if not isinstance(flat.stuff, Board):
        outline = tuple(way for way in outline if way != "knife")
    return (outline, GROOVED) if flat.grooves else (outline,)


def cannot_cut(made: Made) -> NoBox | None:
    """The first piece that its stock may not be cut to, as a refusal; None where every piece can be cut.

    Parameters
    ----------
    made
        A carton as bought is cut already.
    """
    for flat in made.flats:
        if flat.what.startswith("carton "):
            continue
        for ways in ways_to_cut(flat):
            if not set(ways) & set(flat.stuff.cut_by):
                return NoBox(made.style, "cut", 0, 0, _sentence(made, flat, ways))
    return None


def _sentence(made: Made, flat: Flat, ways: tuple[str, ...]) -> str:
    why = "is no plain rectangle" if is_odd(flat) else "is a plain rectangle"
    if ways == GROOVED:
        why = "has a groove or step in its face"
    return (
        f"The {flat.what} of the {made.name} {why} and needs a {' or a '.join(ways)}; {flat.stuff.name} may be cut by "
        f"{' or '.join(flat.stuff.cut_by)} alone."
    )
