"""Folding and assembling boxes from the plan file alone: cut pieces, creases, places and hardware as they are written.

Nothing here imports what makes boxes: sizes are read from the plan's JSON in millimetres and put together again.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, product
from math import sqrt
from typing import Any

Box = Mapping[str, Any]
Segment = tuple[tuple[float, float, float], tuple[float, float, float]]
SLACK_MM = 0.01


def pieces(box: Box, *roles: str) -> list[Any]:
    """The pieces that have one of these roles."""
    return [piece for piece in box["flats"] if piece["role"] in roles]


def panels(piece: Any, name: str) -> list[tuple[float, float]]:
    """Width and height on the flat piece of its panels of a name."""
    return [
        (area["max_mm"][0] - area["min_mm"][0], area["max_mm"][1] - area["min_mm"][1])
        for area in piece["panels"]
        if area["name"] == name
    ]


def tube_inside(box: Box, *, caliper: float) -> tuple[float, float, float]:
    """Inside of a slotted case: score to score less a caliper; in height half a caliper for each layer of flaps."""
    blanks = [piece for piece in pieces(box, "blank", "half blank", "carton") if piece["shell"] == "box"]
    length = panels(blanks[0], "length 1")[0]
    width = panels(blanks[0], "width 1")[0][0]
    return length[0] - caliper, width - caliper, length[1] - box["flap_layers"] * caliper


def tray_inside(piece: Any, *, caliper: float) -> tuple[float, float, float]:
    """Inside of a tray: the floor less a caliper each way, walls up to the rim."""
    ((length, width),) = panels(piece, "floor")
    depth = panels(piece, "long wall")[0][1]
    return length - caliper, width - caliper, depth - caliper / 2


def end_walls(piece: Any) -> list[float]:
    """How wide a tray's end walls are: what has to go between its long walls."""
    return [width for _depth, width in panels(piece, "end wall")]


def wrap_inside(piece: Any, *, caliper: float) -> tuple[float, float, float]:
    """Inside of a wrap: three layers at each end and on top, a side's caliper each way across."""
    ((width, length),) = panels(piece, "bottom")
    rise = panels(piece, "side 1")[0][0]
    return length - 3 * caliper, width - caliper, rise - 1.5 * caliper


def folds_without_crease(piece: Any) -> list[tuple[str, str]]:
    """Pairs of panels that hang together on the blank without a crease between them: they would not fold there."""
    areas = [*piece["panels"], *([piece["joint"]] if piece["joint"] else [])]
    return [
        (one["name"], other["name"])
        for one, other in combinations(areas, 2)
        for axis in (0, 1)
        if _hang_together(one, other, axis) and not _creased(piece, one, other, axis)
    ]


def _hang_together(one: Any, other: Any, axis: int) -> bool:
    """Whether two panels meet at a line across an axis; flaps side by side do not, tabs hang on long walls alone."""
    low, high = _shared(one, other, 1 - axis)
    names = (one["name"], other["name"])
    apart = all("flap" in name for name in names) or ("tab" in names and "long wall" not in names)
    return high - low > 1 and bool(_places(one, other, axis)) and not apart


def _shared(one: Any, other: Any, axis: int) -> tuple[float, float]:
    return max(one["min_mm"][axis], other["min_mm"][axis]), min(one["max_mm"][axis], other["max_mm"][axis])


def _places(one: Any, other: Any, axis: int) -> list[float]:
    pairs = ((one["max_mm"], other["min_mm"]), (other["max_mm"], one["min_mm"]))
    return [high[axis] for high, low in pairs if abs(high[axis] - low[axis]) <= SLACK_MM]


def _creased(piece: Any, one: Any, other: Any, axis: int) -> bool:
    low, high = _shared(one, other, 1 - axis)
    for crease in piece["creases"]:
        ends = sorted((crease["from_mm"][1 - axis], crease["to_mm"][1 - axis]))
        level = crease["from_mm"][axis] == crease["to_mm"][axis]
        near = any(abs(crease["from_mm"][axis] - place) <= SLACK_MM for place in _places(one, other, axis))
        if level and near and min(ends[1], high) - max(ends[0], low) > (high - low) / 2:
            return True
    return False


def creases_on_edges(piece: Any) -> int:
    """How many creases run along the outline for a part of their length."""
    corners = piece["outline_mm"]
    edges = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    found = 0
    for crease in piece["creases"]:
        low, high = crease["from_mm"], crease["to_mm"]
        axis = 0 if low[0] == high[0] else 1
        along = 1 - axis
        for start, end in edges:
            if start[axis] == end[axis] == low[axis]:
                shared = min(max(start[along], end[along]), max(low[along], high[along]))
                shared -= max(min(start[along], end[along]), min(low[along], high[along]))
                found += shared > SLACK_MM
    return found


def shafts(box: Box) -> Iterator[tuple[int, Segment]]:
    """Every screw and nail in its place, worked out from the holes of the pieces that the heads lie in.

    A fastener is where a hole goes through a face; it stands upright on that face, into the wood behind it.
    """
    plates = [plate for step in box["steps"] for plate in step["plates"] if plate["piece"]]
    placed: dict[tuple[str, tuple[float, ...]], Any] = {}
    last = max(index for index, step in enumerate(box["steps"]) if step["shell"] == "box")
    plates = box["steps"][last]["plates"]
    for plate in plates:
        placed[plate["piece"], tuple(plate["min_mm"])] = plate
    middle = [side / 2 for side in box["inner_mm"]]
    for piece in box["flats"]:
        for hole in piece["holes"]:
            row = box["hardware"][hole["row"]]
            if row["kind"] == "handle":
                continue
            if hole["edge"] or (
                row["kind"] == "clinched nail" and piece["role"] in ("lid batten", "end cleat", "foot")
            ):
                continue
            for (name, low), plate in placed.items():
                if name == piece["id"]:
                    yield hole["row"], _shaft(piece, plate, low, hole, row, middle)


def _shaft(piece: Any, plate: Any, low: Sequence[float], hole: Any, row: Any, middle: Sequence[float]) -> Segment:
    sides = [high - least for least, high in zip(low, plate["max_mm"], strict=True)]
    into = min(range(3), key=lambda axis: abs(sides[axis] - piece["thickness_mm"]))
    flat = [axis for axis in range(3) if axis != into]
    along = min(flat, key=lambda axis: abs(sides[axis] - piece["size_mm"][0]))
    across = next(axis for axis in flat if axis != along)
    start = list(low)
    start[along] += hole["at_mm"][0]
    start[across] += hole["at_mm"][1]
    inwards = low[into] + sides[into] / 2 < middle[into]
    if row["kind"] == "clinched nail":
        inwards = not inwards
    end = list(start)
    if inwards:
        end[into] += row["length_mm"]
    else:
        start[into] += sides[into]
        end[into] = start[into] - row["length_mm"]
    return (start[0], start[1], start[2]), (end[0], end[1], end[2])


def apart(one: Segment, other: Segment) -> float:
    """Distance between two shafts along axes of the box."""
    gaps = []
    for axis in range(3):
        a, b = sorted((one[0][axis], one[1][axis])), sorted((other[0][axis], other[1][axis]))
        gaps.append(max(0.0, a[0] - b[1], b[0] - a[1]))
    return sqrt(sum(gap * gap for gap in gaps))


def rope_holes(box: Box) -> list[tuple[str, tuple[float, float, float], float]]:
    """Holes for rope handles: the piece, the middle of the hole where the piece stands, its diameter."""
    last = max(index for index, step in enumerate(box["steps"]) if step["shell"] == "box")
    found = []
    for piece in pieces(box, "end"):
        for hole in piece["holes"]:
            if box["hardware"][hole["row"]]["kind"] == "handle":
                for plate in box["steps"][last]["plates"]:
                    if plate["piece"] == piece["id"]:
                        x, y, z = plate["min_mm"]
                        across, up = hole["at_mm"]
                        found.append((piece["id"], (x, y + across, z + up), hole["drill_mm"]))
    return found


def ropes_on_fasteners(box: Box) -> list[tuple[int, float]]:
    """Screws and nails closer to a rope's hole than three of their diameters, by their row."""
    found = []
    for _piece, (_x, y, z), drill in rope_holes(box):
        for row, (start, end) in shafts(box):
            spans = [sorted((start[axis], end[axis])) for axis in (1, 2)]
            gaps = [max(0.0, low - at, at - high) for (low, high), at in zip(spans, (y, z), strict=True)]
            distance = sqrt(sum(gap * gap for gap in gaps))
            if distance < drill / 2 + 3 * box["hardware"][row]["diameter_mm"] - SLACK_MM:
                found.append((row, distance))
    return found


def too_near(box: Box) -> list[tuple[int, int, float]]:
    """Pairs of fasteners closer than three diameters, by their rows."""
    every = list(shafts(box))
    found = []
    for (row, one), (also, other) in combinations(every, 2):
        least = 3 * max(box["hardware"][row]["diameter_mm"], box["hardware"][also]["diameter_mm"])
        if (distance := apart(one, other)) < least - SLACK_MM:
            found.append((row, also, distance))
    return found


def out_of_wood(box: Box) -> list[tuple[int, Segment]]:
    """Screws and nails that are not in wood over their whole length; points of clinched nails stand out on purpose."""
    last = max(index for index, step in enumerate(box["steps"]) if step["shell"] == "box")
    plates = box["steps"][last]["plates"]
    found = []
    for row, (start, end) in shafts(box):
        hardware = box["hardware"][row]
        if hardware["kind"] == "clinched nail":
            continue
        radius = hardware["diameter_mm"] / 2
        axis = next(a for a in range(3) if start[a] != end[a])
        steps = 12
        for index in range(1, steps):
            point = [a + (b - a) * index / steps for a, b in zip(start, end, strict=True)]
            others = [a for a in range(3) if a != axis]
            for side, way in product(others, (-radius, radius)):
                at = [value + (way if a == side else 0) for a, value in enumerate(point)]
                if not any(_holds(plate, at) for plate in plates):
                    found.append((row, (start, end)))
    return found


def _holds(plate: Any, point: Sequence[float]) -> bool:
    rows = zip(plate["min_mm"], point, plate["max_mm"], strict=True)
    return all(low - SLACK_MM <= value <= high + SLACK_MM for low, value, high in rows)


def lid_play(box: Box) -> tuple[float, float]:
    """Room of a sliding lid above its tongue: across, both sides together, and at the far end."""
    (lid,) = pieces(box, "lid")
    steps = [groove for groove in lid["grooves"] if groove["name"] == "step"]
    shoulders = [groove["max_mm"][1] - groove["min_mm"][1] for groove in steps if groove["min_mm"][0] == 0]
    above = lid["size_mm"][1] - sum(shoulders)
    far = next(groove for groove in steps if groove["min_mm"][0] > 0)
    (side, *_rest) = pieces(box, "side")
    reach = far["min_mm"][0] - side["thickness_mm"]
    return box["inner_mm"][1] - above, box["inner_mm"][0] - reach
