"""Which measurements a run takes, and how each gets a process of its own, one at a time."""

import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from tests.bench import instances
from tests.bench.instances import Best, Published
from tests.bench.limits import (
    GROWTH_S,
    LONG_S,
    MIDDLE_S,
    PILE_S,
    PROOF_S,
    PUBLISHED_S,
    SEED,
    SHORT_S,
    VERY_LONG_S,
)
from tests.bench.machine import ROOT
from tests.bench.measure import Measured
from tests.bench.rows import Row, row_of

PATIENCE_S = 120.0
QUICK_PILE_S = 2.0
QUICK_PUBLISHED_ITEMS = 9
PROOF_ITEMS = 12
STARTS = 3
WARM_ORDERS = 4
START = """
import json, sys
from packing.planning import plan_parcel
from packing.measure import read_order
plan_parcel(read_order(json.loads(sys.argv[1])), seconds=1.0, seed=1)
"""


@dataclass(frozen=True, slots=True)
class Job:
    """One measurement to take; see `tests.bench.measure` for its kinds and `Row` for the rest."""

    kind: str
    content: dict[str, Any]
    seconds: float
    known: Best | None = None

    @property
    def name(self) -> str:
        """The order's or problem's name."""
        return str(self.content["id"])

    @property
    def items(self) -> int:
        """How many items there are."""
        return len(self.content["items"])

    @property
    def tools(self) -> int:
        """How many of them are tools."""
        return sum(item["kind"] == "tool" for item in self.content["items"])


def jobs(*, quick: bool, long: bool) -> Iterator[Job]:
    """All measurements of a run, in their order."""
    best = instances.best_known()
    contents = instances.order_contents()
    if quick:
        contents = {name: own for name, own in contents.items() if name.startswith(instances.QUICK_ORDERS)}
    for name, content in contents.items():
        times = [SHORT_S, MIDDLE_S, LONG_S]
        times += [PROOF_S] if len(content["items"]) <= PROOF_ITEMS and not quick else []
        times += [VERY_LONG_S] if long else []
        for seconds in times:
            yield Job("plan", content, seconds, best[name])
        yield Job("boxes", content, LONG_S, best[name])
        yield Job("pile", content, QUICK_PILE_S if quick else PILE_S, best[name])
    for problem in _largest_few() if quick else instances.published():
        answer = float(problem.answer_mm3)
        yield Job("published", problem.content, PUBLISHED_S, Best(answer, answer, True))
    base = instances.order_contents()[instances.GROWTH_ORDER]
    for count in instances.GROWTH_QUICK if quick else instances.GROWTH_SIZES:
        yield Job("growth", instances.repeated(base, count), GROWTH_S)


def _largest_few() -> list[Published]:
    """Of every family of published problems the largest that is still small."""
    few = [problem for problem in instances.published() if len(problem.content["items"]) <= QUICK_PUBLISHED_ITEMS]
    return list({problem.source: problem for problem in few}.values())


def take(job: Job) -> Row:
    """Take one measurement in a process of its own."""
    asked: dict[str, Any] = {
        "kind": "plan" if job.kind == "growth" else job.kind,
        "order": job.content,
        "seconds": job.seconds,
        "seed": SEED,
    }
    if job.kind == "published" and job.known is not None:
        asked["enough_mm3"] = job.known.volume_mm3
    try:
        done = _python("-m", "tests.bench.measure", json.dumps(asked), seconds=job.seconds + PATIENCE_S)
    except subprocess.TimeoutExpired as late:
        return _row(job, Measured(status="no answer", note=f"ended after {late.timeout:g} s"))
    if done.returncode:
        return _row(job, Measured(status="crashed", note=(done.stderr.strip() or "without a word").splitlines()[-1]))
    return _row(job, Measured(**json.loads(done.stdout)))


def _row(job: Job, measured: Measured) -> Row:
    return row_of(
        measured,
        kind=job.kind,
        name=job.name,
        items=job.items,
        tools=job.tools,
        asked_s=job.seconds,
        known=job.known,
    )


def _python(*arguments: str, seconds: float) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, *arguments]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=seconds, check=False)


def set_up() -> str:
    """Compile and load everything once, unmeasured; what went wrong, or nothing."""
    orders = list(instances.order_contents().values())[:WARM_ORDERS]
    asked = json.dumps({"kind": "setup", "orders": orders})
    done = _python("-m", "tests.bench.measure", asked, seconds=10 * PATIENCE_S)
    return done.stderr.strip() if done.returncode else ""


def start() -> Row:
    """The least time of three from a new process to a plan of one piece."""
    content = next(iter(instances.order_contents().values()))
    taken = []
    for _ in range(STARTS):
        begun = time.monotonic()
        done = _python("-c", START, json.dumps(content), seconds=PATIENCE_S)
        taken.append(time.monotonic() - begun)
        if done.returncode:
            return Row("start", content["id"], items=1, wall_s=PATIENCE_S, note=done.stderr.strip()[-200:])
    return Row("start", content["id"], items=1, tools=1, wall_s=round(min(taken), 3))


def everything(*, quick: bool, long: bool, told: Callable[[str], object]) -> list[Row]:
    """Take all measurements of a run, one at a time.

    Parameters
    ----------
    quick, long
        Fewer orders; 60 s an order as well.
    told
        Is told of each measurement before it is taken.
    """
    rows = [start()]
    planned = list(jobs(quick=quick, long=long))
    for count, job in enumerate(planned, 1):
        told(f"{count} of {len(planned)}: {job.kind} {job.name}, {job.seconds:g} s")
        rows.append(take(job))
    return rows
