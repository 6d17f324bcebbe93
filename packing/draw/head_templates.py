"""Templates of heads in full size: laid on a sheet they mark the pocket round a head and where its handle begins."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from packing.draw.canvas import FINE, WIDE, Anchor, Canvas, Drawing, text_width
from packing.draw.pocket_shapes import figure_of
from packing.draw.rods import BARS, FRAME, GAP, LANE, TITLE, check_bars
from packing.draw.scale import Paper
from packing.plan import Plan, PocketPlan
from packing.plan.kinds import Part
from packing.polygon import Polygon, clipped, counter_clockwise, union_loops

STUB_UM = 60_000
"""Length of the handle that a head's template shows."""


@dataclass(frozen=True, slots=True)
class HeadTemplate:
    """A head's pocket with the beginning of its handle's, as it lies with the handle pointing down.

    Parameters
    ----------
    letters
        The pieces it is for; a piece that lies on its other cheek is marked with the template turned over.
    across_um, down_um
        Along the head from face to peen, and along the handle.
    handle_um
        Where the handle's pocket begins and ends, across.
    outline_um
        Corners of both pockets as one figure, across and down, with `STUB_UM` of the handle; empty where they are
        rectangles.
    """

    letters: tuple[str, ...]
    across_um: int
    down_um: int
    handle_um: tuple[int, int]
    outline_um: Polygon = ()

    def turned_over(self) -> "HeadTemplate":
        """The same, seen from its other side."""
        low, high = self.handle_um
        across = self.across_um
        return replace(
            self,
            handle_um=(across - high, across - low),
            outline_um=_in_turn((across - x, y) for x, y in self.outline_um),
        )


def head_templates(plan: Plan) -> tuple[HeadTemplate, ...]:
    """One template for each different head that lies flat in its pocket.

    Parameters
    ----------
    plan
        In layers.

    Returns
    -------
    tuple of HeadTemplate
        In the order of the pieces; heads whose pockets are alike, or alike turned over, share one.
    """
    pockets: dict[str, dict[Part, PocketPlan]] = {}
    for sheet in plan.insert.sheets:
        for pocket in sheet.pockets:
            pockets.setdefault(pocket.letter, {}).setdefault(pocket.part, pocket)
    found: dict[HeadTemplate, list[str]] = {}
    for item in plan.items:
        own = pockets.get(item.letter, {})
        if Part.HEAD in own and Part.HANDLE in own:
            template = _seen_from_crown(own[Part.HEAD], own[Part.HANDLE])
            over = template.turned_over()
            # A head that lies on its other cheek is marked by the same template, turned over.
            found.setdefault(over if over in found else template, []).append(item.letter)
    return tuple(replace(template, letters=tuple(letters)) for template, letters in found.items())


def _seen_from_crown(head: PocketPlan, handle: PocketPlan) -> HeadTemplate:
    """The template of a head, for no letter yet."""
    overlap_x = min(head.max_um[0], handle.max_um[0]) - max(head.min_um[0], handle.min_um[0])
    overlap_y = min(head.max_um[1], handle.max_um[1]) - max(head.min_um[1], handle.min_um[1])
    along = 0 if overlap_x < overlap_y else 1
    across = 1 - along
    low = handle.min_um[across] - head.min_um[across]
    high = handle.max_um[across] - head.min_um[across]
    template = HeadTemplate(
        (), head.max_um[across] - head.min_um[across], head.max_um[along] - head.min_um[along], (low, high)
    )
    if not head.outline_um and not handle.outline_um:
        return template
    away = handle.max_um[along] > head.max_um[along]

    def seen(pocket: PocketPlan) -> Polygon:
        """A pocket across from the head's end and down from its crown."""
        return counter_clockwise(
            tuple(
                (
                    corner[across] - head.min_um[across],
                    corner[along] - head.min_um[along] if away else head.max_um[along] - corner[along],
                )
                for corner in figure_of(pocket)
            )
        )

    end = template.down_um + STUB_UM
    figures = (seen(head), clipped(seen(handle), (low, -end, high, end)))
    (loop, *_) = union_loops(figures)
    return replace(template, outline_um=_in_turn((round(x), round(y)) for x, y in loop))


def _in_turn(corners: Iterable[tuple[int, int]]) -> Polygon:
    """Corners counter-clockwise from the least, so that figures that are alike are equal."""
    points = tuple(corners)
    if not points:
        return ()
    figure = counter_clockwise(points)
    first = figure.index(min(figure))
    return figure[first:] + figure[:first]


def template_pages(plan: Plan, *, paper: Paper, stretch: float = 1.0, ground: str | None = None) -> list[Drawing]:
    """The templates of a plan's heads in full size, to cut out of card, side by side while a page has room.

    Parameters
    ----------
    plan
        See `head_templates`.
    paper, stretch, ground
        See `rod_pages`.

    Returns
    -------
    list of Drawing
        A head too large for a page is left out: it is marked by its rods alone.
    """
    pages: list[list[tuple[float, HeadTemplate]]] = []
    x = paper[0]
    for template in head_templates(plan):
        width = max(template.across_um / 1000 * stretch, text_width(_called(template), bold=True))
        if width > paper[0] - FRAME or _stub(template, paper, stretch) < LANE:
            continue
        if x + width > paper[0] - FRAME:
            pages.append([])
            x = 0.0
        pages[-1].append((x, template))
        x += width + 2 * GAP
    return [_template_page(page, paper, stretch, ground) for page in pages]


def _called(template: HeadTemplate) -> str:
    return f"Head of {', '.join(template.letters)}"


def _stub(template: HeadTemplate, paper: Paper, stretch: float) -> float:
    """The length of handle that a page has room for under the head, in millimetres."""
    room = paper[1] - FRAME - BARS - TITLE - GAP - template.down_um / 1000 * stretch
    return min(STUB_UM / 1000 * stretch, room)


def _template_page(
    placed: Sequence[tuple[float, HeadTemplate]], paper: Paper, stretch: float, ground: str | None
) -> Drawing:
    canvas = Canvas()
    for x, template in placed:
        _template(canvas, x, template, _stub(template, paper, stretch), stretch)
    check_bars(canvas, canvas.high[1] + GAP, stretch)
    title = f"Templates: {'; '.join(_called(template) for _, template in placed)}"
    return canvas.finish(title, "Pockets of heads in full size, with the beginning of their handles'", 1.0, ground)


def _template(canvas: Canvas, x: float, template: HeadTemplate, stub: float, stretch: float) -> None:
    """One head with its handle pointing down, its letters in rings."""
    across, down = template.across_um / 1000 * stretch, template.down_um / 1000 * stretch
    low, high = (x + um / 1000 * stretch for um in template.handle_um)
    top, shoulder, end = TITLE, TITLE + down, TITLE + down + stub
    canvas.text(x, 2.4, _called(template), anchor=Anchor.START, bold=True)
    if template.outline_um:
        reach = template.down_um + round(stub / stretch * 1000)
        shown = clipped(template.outline_um, (0, 0, template.across_um, reach))
        canvas.polygon([(x + a / 1000 * stretch, top + down / 1000 * stretch) for a, down in shown], WIDE)
    else:
        crown, cheek = [(x, top), (x + across, top), (x + across, shoulder)], (x, shoulder)
        canvas.polygon([*crown, (high, shoulder), (high, end), (low, end), (low, shoulder), cheek], WIDE)
    middle = (low + high) / 2
    canvas.lines([((middle, top), (middle, end))], FINE, dash="8 1 1 1")
    places = [(x + 8.0 + 12.0 * (index % 4), top + 8.0 + 8.0 * (index // 4)) for index in range(len(template.letters))]
    if template.outline_um:
        # One under the other along the handle, where there is always room beside the edge.
        places = [(middle, top + 8.0 + 8.0 * index) for index in range(len(template.letters))]
    for place, letter in zip(places, template.letters, strict=True):
        canvas.ring(*place, letter)
