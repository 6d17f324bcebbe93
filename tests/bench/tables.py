"""The tables that a run prints."""

from collections.abc import Callable, Sequence

from tests.bench.judge import SAME, group_mean
from tests.bench.limits import (
    BOXES_MARGIN,
    GROUPS,
    LONG_S,
    PILE_MARGIN,
    RATIOS,
    VERY_LONG,
    VERY_LONG_S,
    WITHIN,
    group_of,
)
from tests.bench.rows import Row

NONE = "-"


def table(head: Sequence[str], lines: Sequence[Sequence[str]]) -> str:
    """Columns as wide as their widest cell, the first one flush left, the others flush right."""
    widths = [max(len(line[at]) for line in (head, *lines)) for at in range(len(head))]

    def written(line: Sequence[str]) -> str:
        cells = [cell.rjust(width) for cell, width in zip(line, widths, strict=True)]
        return "  ".join([line[0].ljust(widths[0]), *cells[1:]]).rstrip()

    return "\n".join([written(head), "  ".join("-" * width for width in widths), *map(written, lines)])


def shown(value: float | None, form: str) -> str:
    """A number in a format; a dash where there is none."""
    return NONE if value is None else format(value, form)


def order_table(rows: Sequence[Row]) -> str:
    """Per order: ratio to the best known and wall seconds for each time given, gap, proof, memory, the two rivals."""
    times = sorted({row.asked_s for row in rows if row.kind == "plan"})
    head = ["order", "items", "best l", *[f"{t:g} s" for t in times], "gap", "proven"]
    head += [*[f"wall {t:g}" for t in times], "MB", "boxes", "py3dbp"]
    names = list(dict.fromkeys(row.name for row in rows if row.kind == "plan"))
    lines: list[list[str]] = []
    for group in GROUPS:
        own = [name for name in names if group_of(_first(rows, name).items) == group]
        lines += [_order_line(rows, name, times) for name in own]
        if own:
            lines.append(_mean_line(rows, group, own, times))
    return table(head, lines)


def _first(rows: Sequence[Row], name: str) -> Row:
    return next(row for row in rows if row.name == name and row.kind == "plan")


def _found(rows: Sequence[Row], name: str, kind: str, asked_s: float | None = None) -> Row:
    """The measurement of that kind, or one without a volume."""
    fitting = (r for r in rows if r.name == name and r.kind == kind and asked_s in (None, r.asked_s))
    return next(fitting, Row(kind, name, status="not measured"))


def _order_line(rows: Sequence[Row], name: str, times: Sequence[float]) -> list[str]:
    plans = [_found(rows, name, "plan", t) for t in times]
    proof = min((row for row in plans if row.proven), key=lambda row: row.wall_s, default=None)
    return [
        name,
        str(plans[0].items),
        f"{plans[0].known_mm3 / 1e6:.3f}",
        *[_ratio(row) for row in plans],
        shown(least_gap(plans), ".1%"),
        "no" if proof is None else f"{proof.wall_s:.2f} s",
        *[NONE if row.status == "not measured" else f"{row.wall_s:.2f}" for row in plans],
        f"{max(row.peak_mb for row in plans):.0f}",
        *[shown(_found(rows, name, kind).ratio, ".3f") for kind in ("boxes", "pile")],
    ]


def least_gap(plans: Sequence[Row]) -> float | None:
    """The least gap to the bound among an order's plans; None where none has a bound."""
    return min((row.gap for row in plans if row.gap is not None), default=None)


def _ratio(row: Row) -> str:
    if row.ratio is None:
        return NONE if row.status == "not measured" else row.status
    return f"{row.ratio:.4f}{'*' if row.ratio < 1 - SAME else ''}"


def _mean_line(rows: Sequence[Row], group: str, names: Sequence[str], times: Sequence[float]) -> list[str]:
    def over(kind: str, value: Callable[[Row], float | None], asked_s: float | None = None) -> float | None:
        return group_mean([_found(rows, name, kind, asked_s) for name in names], value)

    gaps = [least_gap([_found(rows, name, "plan", t) for t in times]) for name in names]
    known = [gap for gap in gaps if gap is not None]
    return [
        f"  mean, {group}",
        "",
        "",
        *[shown(over("plan", lambda row: row.ratio, t), ".4f") for t in times],
        shown(sum(known) / len(known) if known else None, ".1%"),
        *["" for _ in range(len(times) + 2)],
        *[shown(over(kind, lambda row: row.ratio), ".3f") for kind in ("boxes", "pile")],
    ]


def limits_text() -> str:
    """The limits of the ratios in one line each."""
    rows = [(group, t, limit) for (group, t), limit in RATIOS.items()] + [("all", VERY_LONG_S, VERY_LONG)]
    return "\n".join(
        f"limit, {which} at {t:g} s: {limit.mean:g} on average, {limit.worst:g} at worst" for which, t, limit in rows
    )


def margins(rows: Sequence[Row]) -> str:
    """How many times our volume the rivals need, on average over orders of two tools or more, beside what is known."""
    lines = []
    for group in GROUPS:
        ours = {
            row.name: row
            for row in rows
            if row.kind == "plan" and row.asked_s == LONG_S and row.tools > 1 and group_of(row.items) == group
        }
        cells = [group, str(len(ours))]
        for kind, known in (("boxes", BOXES_MARGIN), ("pile", PILE_MARGIN)):
            pairs = [(_found(rows, name, kind).volume_mm3, row.volume_mm3) for name, row in ours.items()]
            found = [theirs / own for theirs, own in pairs if theirs and own]
            cells += [shown(sum(found) / len(found) if found else None, ".3f"), f"{known[group]:g}"]
        lines.append(cells)
    return table(["times our volume at 5 s", "orders", "boxes", "known", "py3dbp", "known"], lines)


def published_table(rows: Sequence[Row]) -> str:
    """Per published problem: the known answer, what was found and when."""
    lines = [
        [
            row.name,
            f"{row.known_mm3 / 1000:.12g}",
            f"{row.volume_mm3 / 1000:.12g}" if row.volume_mm3 else row.status,
            f"{row.wall_s:.2f}",
            "yes" if row.proven else "no",
        ]
        for row in rows
        if row.kind == "published"
    ]
    return table(["published problem", "answer", "found", "seconds", "proven"], lines)


def growth_table(rows: Sequence[Row]) -> str:
    """Per number of items: seconds to the first plan and to one near the last, volume, memory."""
    lines = [
        [
            str(row.items),
            f"{row.first_s:.3f}",
            f"{row.near_s:.3f}",
            f"{row.wall_s:.2f}",
            f"{row.volume_mm3 / 1e6:.2f}" if row.volume_mm3 else row.status,
            f"{row.peak_mb:.0f}",
        ]
        for row in rows
        if row.kind == "growth"
    ]
    near = f"within {WITHIN - 1:.0%} of last"
    return table(["items", "first plan s", near, "wall s", "last l", "MB"], lines)
