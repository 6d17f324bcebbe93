"""One row a measurement: what it found beside what is known, as it stands in the results file."""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any

from tests.bench.instances import Best
from tests.bench.limits import WITHIN
from tests.bench.machine import Machine
from tests.bench.measure import Measured


@dataclass(frozen=True, slots=True)
class Row:
    """One measurement.

    Parameters
    ----------
    kind
        "plan", "boxes", "pile", "published", "growth" or "start".
    name, items, tools
        The order or problem, its number of items, how many of them are tools.
    asked_s
        Seconds the search was given.
    status
        "planned", or why there is no volume.
    volume_mm3, known_mm3, known_proven
        Of the interior found, and of the best one known (0: none).
    bound_mm3, proven
        The lower bound that came with it, 0 where there is none; whether the two are equal.
    wall_s, first_s, near_s
        Until the answer, until the first volume, until a volume within 5 % of the last.
    peak_mb
        Most memory of the process.
    note
        Broken rules, or anything else.
    """

    kind: str
    name: str
    items: int = 0
    tools: int = 0
    asked_s: float = 0.0
    status: str = "planned"
    volume_mm3: float = 0.0
    known_mm3: float = 0.0
    known_proven: bool = False
    bound_mm3: float = 0.0
    proven: bool = False
    wall_s: float = 0.0
    first_s: float = 0.0
    near_s: float = 0.0
    peak_mb: float = 0.0
    broken: int = 0
    note: str = ""

    @property
    def ratio(self) -> float | None:
        """Volume over the best known one; None where either is missing."""
        return self.volume_mm3 / self.known_mm3 if self.volume_mm3 and self.known_mm3 else None

    @property
    def gap(self) -> float | None:
        """Volume over the bound, less one; None where either is missing."""
        return self.volume_mm3 / self.bound_mm3 - 1 if self.volume_mm3 and self.bound_mm3 else None


def row_of(
    measured: Measured, *, kind: str, name: str, items: int, tools: int, asked_s: float, known: Best | None
) -> Row:
    """A measurement beside what is known of its order."""
    near = WITHIN * measured.volume_mm3
    return Row(
        kind=kind,
        name=name,
        items=items,
        tools=tools,
        asked_s=asked_s,
        status=measured.status,
        volume_mm3=round(measured.volume_mm3, 3),
        known_mm3=known.volume_mm3 if known else 0.0,
        known_proven=known.proven if known else False,
        bound_mm3=round(measured.bound_mm3, 3),
        proven=measured.proven,
        wall_s=round(measured.wall_s, 3),
        first_s=round(measured.trace[0][0], 3) if measured.trace else 0.0,
        near_s=next((round(at, 3) for at, volume in measured.trace if volume <= near), 0.0),
        peak_mb=round(measured.peak_mb, 1),
        broken=len(measured.problems),
        note="; ".join(measured.problems[:3]) or measured.note,
    )


def append(path: Path, machine: Machine, rows: Iterable[Row]) -> None:
    """Add a run's rows, each with its machine, to a file that has a line of names first."""
    lines = [{**asdict(machine), **asdict(row)} for row in rows]
    new = not path.exists()
    with path.open("a", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, [field.name for kind in (Machine, Row) for field in fields(kind)])
        if new:
            writer.writeheader()
        writer.writerows(lines)


def last_run(path: Path) -> tuple[Machine, list[Row]]:
    """The machine and the rows of the newest run in a results file."""
    with path.open(newline="", encoding="utf-8") as file:
        lines = list(csv.DictReader(file))
    newest = [line for line in lines if line["date"] == lines[-1]["date"]]
    return _machine(newest[0]), [_row(line) for line in newest]


def _machine(line: Mapping[str, str]) -> Machine:
    return Machine(
        date=line["date"],
        commit=line["commit"],
        cpu=line["cpu"],
        cores=int(line["cores"]),
        python=line["python"],
        numba=line["numba"],
        load=float(line["load"]),
    )


def _row(line: Mapping[str, str]) -> Row:
    values: dict[str, Any] = {}
    for field in fields(Row):
        text = line[field.name]
        if field.type is bool:
            values[field.name] = text == "True"
        elif field.type in (int, float):
            values[field.name] = field.type(text)
        else:
            values[field.name] = text
    return Row(**values)
