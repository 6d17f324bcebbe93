"""One measurement, in a process of its own: ``python -m tests.bench.measure '{"kind": "plan", ...}'`` prints its row.

Kinds: "plan" (an order's whole plan), "boxes" (the same search on bounding boxes), "published" (the search alone, ended
where it has the known answer), "pile" (py3dbp on bounding boxes), "setup" (plans some "orders", measures nothing).
Kernels are loaded before the clock starts; the plan is checked after it has stopped.
"""

import json
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from typing import Any

from packing.measure import Order
from tests.bench.instances import boxed, read

CUBE = 10**9


@dataclass
class Measured:
    """What one measurement gave.

    Parameters
    ----------
    status
        "planned", or why there is no volume.
    interior_mm, volume_mm3, bound_mm3, proven
        Of the best plan; volume 0 where there is none.
    wall_s
        From the order as read to its answer.
    peak_mb
        Most memory of the process until then, start-up included.
    trace
        Volumes in mm³ as they were found, each with the seconds since the start.
    problems
        What the checker found.
    note
        Anything else.
    """

    status: str = "planned"
    interior_mm: list[float] = field(default_factory=list)
    volume_mm3: float = 0.0
    bound_mm3: float = 0.0
    proven: bool = False
    wall_s: float = 0.0
    peak_mb: float = 0.0
    trace: list[tuple[float, float]] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    note: str = ""


def peak_mb() -> float:
    """Most memory this process has held, in megabytes (Linux counts it in kibibytes)."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e6


class Watch:
    """Notes every better volume with its time, and says when enough is found.

    Parameters
    ----------
    enough_mm3
        The search may end at this volume; 0 never ends it.
    """

    def __init__(self, enough_mm3: float = 0.0) -> None:
        self.begun = time.monotonic()
        self.trace: list[tuple[float, float]] = []
        self.enough_mm3 = enough_mm3

    def progress(self, now: Any) -> None:
        """Told by the search how far it is."""
        if now.volume_um3:
            self.note(now.volume_um3 / CUBE)

    def note(self, volume_mm3: float) -> None:
        """Remember a volume if it is better."""
        if not self.trace or volume_mm3 < self.trace[-1][1]:
            self.trace.append((round(time.monotonic() - self.begun, 4), volume_mm3))

    def stop(self) -> bool:
        """Asked by the search whether to end."""
        return bool(self.trace) and self.trace[-1][1] <= self.enough_mm3


def set_up(*, kernels: bool) -> None:
    """Import what a measurement needs and load the compiled kernels."""
    from packing import check, planning  # noqa: F401

    if kernels:
        from packing.nest.warm_cache import build

        build()


def measure(job: dict[str, Any]) -> Measured:
    """Do one job: its kind, an order's content, seconds and seed."""
    order, kind = read(job["order"]), job["kind"]
    if kind == "pile":
        return _pile(order, job)
    # An order of one item is planned without kernels, which a user does not wait for either.
    set_up(kernels=len(order.items) > 1)
    if kind == "plan":
        return _plan(order, job)
    return _nest(boxed(order) if kind == "boxes" else order, job)


def _plan(order: Order, job: dict[str, Any]) -> Measured:
    from packing.check import check_plan
    from packing.planning import plan_parcel

    watch = Watch()
    answer = plan_parcel(order, seconds=job["seconds"], seed=job["seed"], progress=watch.progress)
    measured = _answered(answer.nesting, watch)
    if answer.status == "planned":
        measured.problems = [str(problem) for problem in check_plan(order, answer.content)]
    return measured


def _nest(order: Order, job: dict[str, Any]) -> Measured:
    from packing.check import check_plan
    from packing.measure import mm
    from packing.nest import nest
    from packing.plan import to_json
    from packing.planning import item_plans

    watch = Watch(job.get("enough_mm3", 0.0))
    nesting = nest(order, seconds=job["seconds"], seed=job["seed"], stop=watch.stop, progress=watch.progress)
    measured = _answered(nesting, watch)
    if nesting.status == "planned":
        content = {
            "order": order.id,
            "status": nesting.status,
            "interior_mm": [mm(side) for side in nesting.interior_um],
            "layers": [{"floor_mm": mm(layer.floor_um), "height_mm": mm(layer.height_um)} for layer in nesting.layers],
            "items": [to_json(item) for item in item_plans(order, nesting)],
        }
        measured.problems = [str(problem) for problem in check_plan(order, content, require="nesting")]
    return measured


def _answered(nesting: Any, watch: Watch) -> Measured:
    """What a nesting says, with time and memory as they are now."""
    if nesting.status == "planned":
        watch.note(nesting.volume_um3 / CUBE)
    return Measured(
        status=nesting.status,
        interior_mm=[side / 1000 for side in nesting.interior_um],
        volume_mm3=nesting.volume_um3 / CUBE,
        bound_mm3=nesting.lower_bound_um3 / CUBE,
        proven=nesting.proven,
        wall_s=time.monotonic() - watch.begun,
        peak_mb=peak_mb(),
        trace=watch.trace,
        note=nesting.message,
    )


def _pile(order: Order, job: dict[str, Any]) -> Measured:
    from tests.bench.pile import search

    watch = Watch()
    pile = search(order, seconds=job["seconds"], seed=job["seed"])
    wall, peak = time.monotonic() - watch.begun, peak_mb()
    note = f"{pile.tried} containers and turns, {pile.refused} answers refused"
    if pile.interior_um is None:
        return Measured(status="not found", wall_s=wall, peak_mb=peak, note=note)
    interior = [side / 1000 for side in pile.interior_um]
    volume = interior[0] * interior[1] * interior[2]
    return Measured(interior_mm=interior, volume_mm3=volume, wall_s=wall, peak_mb=peak, note=note)


def main(argv: list[str], write: Callable[[str], object]) -> int:
    """Measure the job of the command line and write its row as JSON."""
    job = json.loads(argv[0])
    if job["kind"] == "setup":
        set_up(kernels=True)
        for content in job["orders"]:
            measure({"kind": "plan", "order": content, "seconds": 1.0, "seed": 0})
        return 0
    write(json.dumps(asdict(measure(job))) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:], sys.stdout.write))
