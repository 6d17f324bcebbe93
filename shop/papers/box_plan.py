"""The box cut plan: the blank, its board and parts, how it is folded and closed, and a carton that would do."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from shop import adapter
from shop.formatting import Wording, filled
from shop.papers.box_pieces import piece_pages, step_pages
from shop.papers.cautions import for_cutting
from shop.papers.context import PaperContext
from shop.papers.drawings import Picture, Placed, Room, check_bar, largest, page_room, placed

Content = dict[str, Any]
TOLERANCE_FACTOR = 2.6
CHECK_BAR_MM, MUCH_LARGER = 8.0, 2
BELOW_MM, BELOW_WITH_CARTON_MM = 52.0, 66.0
NOTE_LINE_MM, NOTE_LINE = 4.2, 150
CLOSED = (56.0, 36.0)


def box_plan(content: Content, context: PaperContext) -> dict[str, Any]:
    """What the box cut plan's template shows.

    A box without one blank, such as a wooden one, has a drawing of each of its pieces instead.
    """
    write = Wording(context.bench)
    box = content["box"]
    blank, alone = _blank(content, context)
    pieces, steps = piece_pages(content, context), step_pages(content, context)
    more = [piece["drawing"] for page in pieces for piece in page["pieces"]]
    more += [step["drawing"] for page in steps for step in page["steps"]]
    closed = placed(adapter.small_box(content, unit=context.bench.length, paper=CLOSED))
    return {
        "box": box,
        "blank": blank,
        "blank_alone": alone,
        "closed": closed,
        "drawings": [drawing for drawing in (blank, closed, *more) if drawing is not None],
        "check_bar": check_bar(context.bench.length),
        "blank_title": _("The blank, outside up"),
        "lists_title": _("Parts, making and weight"),
        "inner": write.size(box["inner_mm"]),
        "outer": write.size(box["outer_mm"]),
        "most": _most(box, write),
        "blank_size": write.size(box["blank"]["size_mm"]) if box["blank"] else "",
        "board": _board(box["board"], write) if box["board"] else None,
        "panels": _panels(box["blank"], write) if box["blank"] else [],
        "parts": [_part(part, write) for part in box["parts"]],
        "hardware": [{**row, "where": write.sentence(row["where"])} for row in box.get("hardware", [])],
        "notes": [write.sentence(note) for note in box["notes"]],
        "piece_pages": pieces,
        "step_pages": steps,
        "assembly": [] if steps else _assembly(box, write),
        "closing": _closing(content, write),
        "carton": _carton(content["carton"], write),
        "no_carton": write.sentence(content.get("no_carton", _("No stock carton takes this insert."))),
        "weights": _weights(content["weight"], write),
        "gross": write.both(content["weight"]["gross_g"]),
        "tolerance": _tolerance(content["weight"], write),
        "caution": for_cutting(wood=box.get("family") == "wood"),
    }


def _most(box: Content, write: Wording) -> str:
    """The outside in the thickest stock that was bought for, where it is printed otherwise than as planned."""
    most = write.size(box["most_mm"] if "most_mm" in box else box["outer_mm"])
    return "" if most == write.size(box["outer_mm"]) else most


def _blank(content: Content, context: PaperContext) -> tuple[Placed | None, bool]:
    """The blank's drawing, and whether it needs a sheet of its own: its tables then stand on the next."""
    box = content["box"]
    if not box["blank"]:
        return None, False
    unit, page = context.bench.length, page_room(context.page_size, wide=True)
    across, along = box["blank"]["size_mm"]

    def drawn(below_mm: float) -> tuple[Picture, bool]:
        room = Room(page.width, page.height - below_mm)
        picture = largest(lambda at: adapter.blank_drawing(content, scale=at, unit=unit), (across, along), room, unit)
        return picture, room.takes(picture)

    picture, fits = drawn(_below_mm(content["carton"]))
    larger, _fits = drawn(CHECK_BAR_MM)
    alone = not fits or (picture.scale or 0) >= MUCH_LARGER * (larger.scale or 0)
    return placed(larger if alone else picture), alone


def _below_mm(carton: dict[str, Any] | None) -> float:
    """What the tables under the blank take: the carton's notes differ in length."""
    if carton is None:
        return BELOW_MM
    lines = sum(math.ceil(len(note) / NOTE_LINE) for note in carton["notes"])
    return BELOW_WITH_CARTON_MM + NOTE_LINE_MM * lines


def _board(board: dict[str, Any], write: Wording) -> dict[str, Any]:
    return {
        "name": board["name"],
        "flute": board["flute"],
        "caliper": write.length(board["caliper_mm"], fine=True),
        "grammage": write.grammage(board["grammage_g_m2"]),
        "grade": board["grade"],
        "source": board["source"],
    }


def _panels(blank: dict[str, Any], write: Wording) -> list[dict[str, Any]]:
    """Panels alike as printed, with the figures that stand between their creases on the drawing."""
    counted = Counter((panel["name"], *_sides(panel, write)) for panel in blank["panels"])
    rows = [
        {"name": name, "across": across, "along": along, "count": count}
        for (name, across, along), count in counted.items()
    ]
    if blank["joint"]["width_mm"]:
        across = write.between(blank["joint"]["min_mm"][0], blank["joint"]["max_mm"][0])
        rows.append({"name": _("joint flap"), "across": across, "along": "", "count": 1})
    return rows


def _sides(panel: dict[str, Any], write: Wording) -> tuple[SafeString, SafeString]:
    (left, low), (right, high) = panel["min_mm"], panel["max_mm"]
    return write.between(left, right), write.between(low, high)


def _part(part: dict[str, Any], write: Wording) -> dict[str, Any]:
    return {
        "id": part["id"],
        "what": part["what"],
        "material": part["material"],
        "thickness": write.length(part["thickness_mm"], fine=True),
        "size": write.bare_size(part["size_mm"]),
        "count": part["count"],
        "weight": write.weight(part["weight_g"]),
    }


def _assembly(box: dict[str, Any], write: Wording) -> list[str]:
    joint = box["blank"]["joint"]
    return [
        _("The drawing shows the outside face; the flutes run along the short side. Mark out and check the diagonals."),
        _("Crease along the dashed lines: press a blunt bone or wheel over a straightedge, without cutting the liner."),
        _("Cut the outline and the slots, each slot from the edge to the crease."),
        filled(
            _("Fold the four panels square. Glue or staple the joint, %(width)s wide, inside the panel it meets."),
            width=write.extent(joint["min_mm"][:1], joint["max_mm"][:1]),
        ),
        _("Fold the inner flaps of the bottom, then the outer ones. Tape as below and turn it over."),
        _("Lay the insert in from the base pad up. Nothing may stand above the top pad. Shake it: nothing may move."),
    ]


def _closing(content: Content, write: Wording) -> dict[str, Any]:
    tape = [row for row in content["weight"]["sundries"] if row["unit"] == "m" and "closing" in row["what"]]
    said = content["box"].get("closing", {}).get("text")
    return {
        "how": write.sentence(said)
        if said
        else filled(
            _(
                "Tape in an H on top and bottom: along the seam where the outer flaps meet, at least %(over)s over "
                "each end, and along both short edges. Reinforced tape, %(narrow)s to %(wide)s wide, for steel; rub it "
                "down."
            ),
            over=write.length(60),
            narrow=write.length(60),
            wide=write.length(75),
        ),
        "rows": [
            {
                "what": write.sentence(row["what"]),
                "length": write.metres(row["quantity"]),
                "weight": write.weight(row["weight_g"]),
            }
            for row in tape
        ],
        "after": filled(
            _("Measure and weigh the closed box: a filled, taped box grows by %(least)s to %(most)s."),
            least=write.length(3),
            most=write.length(6),
        ),
    }


def _carton(carton: dict[str, Any] | None, write: Wording) -> dict[str, Any] | None:
    if carton is None:
        return None
    cut = carton["cut_down_mm"]
    return {
        "name": carton["name"],
        "bought": write.size(carton["bought_inner_mm"]),
        "inner": write.size(carton["inner_mm"]),
        "outer": write.size(carton["outer_mm"]),
        "how": filled(_("cut down by %(by)s"), by=write.length(cut)) if cut else _("as bought"),
        "turned": carton["turned"],
        "gross": write.both(carton["gross_g"]),
        "weight": write.weight(carton["weight_g"]),
        "fill": _("%(percent)d %% filled by the insert") % {"percent": round(carton["fill"] * 100)},
        "notes": [write.sentence(note) for note in carton["notes"]],
    }


def _weights(weight: dict[str, Any], write: Wording) -> list[dict[str, Any]]:
    rows = [
        {"what": _("pieces, as weighed"), "weight": write.weight(weight["pieces_g"])},
        {"what": _("insert"), "weight": write.weight(weight["insert_g"])},
        {"what": _("box"), "weight": write.weight(weight["box_g"])},
    ]
    for row in weight["sundries"]:
        amount = write.metres(row["quantity"]) if row["unit"] == "m" else f"{row['quantity']:g}"
        rows.append({"what": f"{write.sentence(row['what'])}, {amount}", "weight": write.weight(row["weight_g"])})
    return rows


def _tolerance(weight: dict[str, Any], write: Wording) -> dict[str, Any]:
    rows = [
        {"source": row["source"], "sd": write.weight(row["sd_g"]), "why": write.sentence(row["why"])}
        for row in weight["tolerance"]
    ]
    together = math.sqrt(sum(row["sd_g"] ** 2 for row in weight["tolerance"]))
    return {
        "rows": rows,
        "total": write.weight(weight["tolerance_g"]),
        "how": _("%(factor)s × %(together)s, all standard deviations taken together")
        % {"factor": TOLERANCE_FACTOR, "together": write.weight(together)},
    }
