"""Cut files as SVG, for programs that draw and for cutters that read them."""

from packing.draw.canvas import clean, number
from packing.draw.cut_file import MARGIN_MM, STYLES, CutLayer, CutSheet, Drilled, Lettering, Stroke


def _path(stroke: Stroke, height: float) -> str:
    path = "M" + "L".join(f"{number(x)} {number(height - y)}" for x, y in stroke.points)
    return f'<path d="{path}{"Z" if stroke.closed else ""}"/>'


def _circle(hole: Drilled, height: float) -> str:
    x, y = hole.at
    return f'<circle cx="{number(x)}" cy="{number(height - y)}" r="{number(hole.diameter / 2)}"/>'


def _text(letters: Lettering, height: float) -> str:
    x, y = letters.at
    turned = f' transform="rotate({-letters.turn} {number(x)} {number(height - y)})"' if letters.turn else ""
    return (
        f'<text x="{number(x)}" y="{number(height - y)}" font-size="{number(letters.height)}"{turned}>'
        f"{clean(letters.text)}</text>"
    )


def svg_of(sheet: CutSheet) -> str:
    """One piece as SVG at full size: a group for each layer, millimetres throughout.

    Parameters
    ----------
    sheet
        From `cut_sheets`.

    Returns
    -------
    str
        A whole SVG file; 5 mm of ground all round.
    """
    width, height = sheet.size_mm
    m = MARGIN_MM
    view = f"{number(-m)} {number(-m)} {number(width + 2 * m)} {number(height + 2 * m)}"
    groups = []
    for layer in CutLayer:
        look = STYLES[layer]
        if layer == CutLayer.LETTERING:
            inner = "".join(_text(one, height) for one in sheet.letters)
            style = f'fill="{look.colour}" font-family="sans-serif" text-anchor="middle" dominant-baseline="central"'
        else:
            inner = "".join(_path(stroke, height) for stroke in sheet.strokes if stroke.layer == layer)
            inner += "".join(_circle(hole, height) for hole in sheet.drilled) if layer == CutLayer.DRILL else ""
            dash = ' stroke-dasharray="6 3"' if layer == CutLayer.CREASE else ""
            style = f'fill="none" stroke="{look.colour}" stroke-width="{look.width}"{dash}'
        groups.append(f'<g id="{layer}" {style}>{inner}</g>')
    size = f'width="{number(width + 2 * m)}mm" height="{number(height + 2 * m)}mm"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="{view}">'
        f"<title>{clean(f'{sheet.id} {sheet.what}')}</title>{''.join(groups)}</svg>\n"
    )
