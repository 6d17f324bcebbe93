"""Pages that show what stock the parts of a plan are cut from: parts, cuts in their order, what is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop import adapter
from shop.adapter.plan_parts import Plan
from shop.papers.context import PaperContext
from shop.papers.drawings import Picture, Placed, Room, largest, page_room, placed
from shop.papers.measures import PlanWording

WORDS_MM, GAP_MM = 15.0, 4.0
"""Three lines over each sheet, and the gap under it."""
LACK_MM = 6.0
"""A line of text at the foot of a page."""


@dataclass(frozen=True, slots=True)
class ShownSheet:
    """A sheet as its page shows it: the drawing, and what stands over it."""

    drawing: Placed
    title: str
    words: str


@dataclass(frozen=True, slots=True)
class StockPage:
    """A page of sheets under each other, for the template.

    Parameters
    ----------
    title
        Its heading.
    sheets
        From the top down.
    joints, lacks
        Sentences at the end: parts put together of several, and what stock does not allow.
    scale
        The one scale of its drawings; a dash where they differ.
    """

    title: str
    sheets: tuple[ShownSheet, ...]
    joints: tuple[str, ...]
    lacks: tuple[str, ...]
    scale: str


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A sheet of stock, or several cut alike: its picture, and what stands over it."""

    picture: Picture
    title: str
    words: str

    @property
    def height_mm(self) -> float:
        """The height it takes of a page."""
        return self.picture.height_mm + WORDS_MM + GAP_MM


def from_stock(plan: Plan, context: PaperContext, *, insert: bool) -> list[StockPage]:
    """The pages of the insert's parts or of the box's, and last what stock does not allow.

    Parameters
    ----------
    plan, context
        As for every paper; without stock in the context there are no pages.
    insert
        The insert's parts, with whatever of the box is cut from the same; else the rest.
    """
    if context.cut_with:
        numbers = ", ".join(context.cut_with)
        words = _("The parts of this order are cut together with others, orders %(numbers)s: see the paper of these.")
        return [_page((), [words % {"numbers": numbers}], ())] if insert else []
    cuts = adapter.cut_plan_from(plan, context.stock) if context.stock else ()
    labels = adapter.offcut_labels(context.parcel_name, cuts)
    own = [(cut, named) for cut, named in zip(cuts, labels, strict=True) if cut.need.insert is insert]
    return pages_of(own, context)


def pages_of(
    cuts: Sequence[tuple[adapter.CutFromStock, Sequence[tuple[str, ...]]]], context: PaperContext
) -> list[StockPage]:
    """The pages of what is laid on stock, each need with what is written on its offcuts, sheet by sheet."""
    drawn: list[_Drawn] = []
    lacks: list[str] = []
    joints: list[str] = []
    write = PlanWording(context.bench)
    for cut, named in cuts:
        if cut.why is not None:
            lacks.append(write.message(cut.why))
        joints += [write.message(joint) for joint in cut.joints]
        drawn += _sheets(cut, named, context, write)
    return _pages(drawn, joints, lacks, context)


def _sheets(
    cut: adapter.CutFromStock, named: Sequence[tuple[str, ...]], context: PaperContext, write: PlanWording
) -> list[_Drawn]:
    """The sheets of one need; those cut alike, nothing of them kept, stand once with how many they are."""
    if cut.layout is None:
        return []
    groups: dict[object, list[tuple[adapter.LaidSheet, tuple[str, ...]]]] = {}
    for at, (sheet, labels) in enumerate(zip(cut.layout.sheets, named, strict=True)):
        alike = at if labels else (sheet.stock.id, tuple((one.part.id, one.rect) for one in sheet.parts))
        groups.setdefault(alike, []).append((sheet, labels))
    return [_drawn(cut, group, context, write) for group in groups.values()]


def _drawn(
    cut: adapter.CutFromStock,
    group: Sequence[tuple[adapter.LaidSheet, tuple[str, ...]]],
    context: PaperContext,
    write: PlanWording,
) -> _Drawn:
    (sheet, labels), unit = group[0], context.bench.length
    page = page_room(context.page_size, wide=True)

    def make(scale: float) -> Picture:
        return adapter.stock_sheet_drawing(sheet, labels=labels, scale=scale, unit=unit)

    picture = largest(make, sheet.stock.size_um, Room(page.width, page.height - WORDS_MM - GAP_MM), unit)
    row = next((one for one in context.stock if str(one.row) == sheet.stock.id), None)
    called = _("offcut %(label)s") % {"label": row.label} if row is not None and row.label else _("whole sheet")
    count = "" if len(group) == 1 else f"{len(group)} × "
    what, size = write.stuff(cut.need.material, cut.need.thickness_um), write.size(sheet.stock.size_um)
    return _Drawn(picture, f"{count}{what}: {called}, {size}", words_of(cut, sheet, labels, write))


def words_of(cut: adapter.CutFromStock, sheet: adapter.LaidSheet, labels: Sequence[str], write: PlanWording) -> str:
    """The way it is cut, what is kept of it, and how far from the least the whole is."""
    layout = cut.layout
    if layout is None:
        return ""
    said = []
    if len(sheet.cuts) > 1:
        said.append(_("Cut in the order of the blue numbers, each cut right across what is in hand."))
    if not any(part.turns for part in cut.need.parts):
        along = write.length(sheet.stock.size_um[0], fine=True)
        said.append(_("Grain or flutes run along the side of %(length)s.") % {"length": along})
    if layout.kerf_um:
        said.append(_("A cut takes %(kerf)s.") % {"kerf": write.length(layout.kerf_um, fine=True)})
    if labels:
        said.append(_("Keep, and write on it: %(labels)s.") % {"labels": ", ".join(labels)})
    said.append(_new_sheets(layout.new, layout.new_at_least))
    said.append(_("%(n)d %% of what is cut into becomes parts.") % {"n": round(100 * layout.yielded)})
    return " ".join(said)


def _new_sheets(new: int, least: int) -> str:
    """The number of whole sheets cut into, and how far from the least that may be."""
    if not new:
        return _("All of it comes from offcuts.")
    counted = ngettext("%(n)d new sheet of it in all:", "%(n)d new sheets of it in all:", new) % {"n": new}
    bound = _("no layout needs fewer.") if new == least else _("at least %(n)d are needed.") % {"n": least}
    return f"{counted} {bound}"


def _pages(
    drawn: Sequence[_Drawn], joints: Sequence[str], lacks: Sequence[str], context: PaperContext
) -> list[StockPage]:
    """As many sheets under each other as a page takes, each at its own scale."""
    room = page_room(context.page_size, wide=True).height
    pages: list[list[_Drawn]] = []
    left = 0.0
    for one in drawn:
        if not pages or one.height_mm > left:
            pages.append([])
            left = room
        pages[-1].append(one)
        left -= one.height_mm
    told = [*joints, *lacks]
    if told and (not pages or left < LACK_MM * (2 + 2 * len(told))):
        pages.append([])
    return [_page(page, joints if page is pages[-1] else (), lacks if page is pages[-1] else ()) for page in pages]


def _page(drawn: Sequence[_Drawn], joints: Sequence[str], lacks: Sequence[str]) -> StockPage:
    pictures: list[Placed] = [placed(one.picture) for one in drawn]
    scales = {picture.scale for picture in pictures}
    sheets = tuple(ShownSheet(picture, one.title, one.words) for one, picture in zip(drawn, pictures, strict=True))
    scale = scales.pop() if len(scales) == 1 else "—"
    return StockPage(_("From stock"), sheets, tuple(joints), tuple(lacks), scale)
