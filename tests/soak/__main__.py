"""Soak: python -m tests.soak [--only sqlite|postgresql] [--part kills|clients|memory|fields] [--minutes M] [--kills N].

Everything runs on 127.0.0.1, in a folder of its own that goes afterwards, with servers that end with it. Prints a
table and exits with 1 where something was lost, doubled, left without papers or answered with a status of 500.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.shop.servers import ROOT, House, postgres, postgres_program

PARTS = {"kills": 3.0, "clients": 1.0, "memory": 4.0, "fields": 4.0}
"""Each part's share of the time that is left when it begins."""
ORDERS, PLANNINGS, WORKERS = 30, 90, 2
ENOUGH_PRINTED = 40
"""Printings after which the worker has begun anew since the first: what comes later repeats what came before."""
MOST_GROWTH = 1.25
"""What a worker may take at most, as a multiple of what it takes with its first papers printed."""
QUIET = {"STOWRIGHT_JOB_LEASE_SECONDS": "5", "STOWRIGHT_JOB_RECOVERY_SECONDS": "2"}


@dataclass(frozen=True)
class Row:
    """One line of the table: what was tried on what, what came of it, and whether that is as it should be."""

    database: str
    part: str
    figures: Mapping[str, int | float]
    well: bool
    in_time: bool = True

    @property
    def verdict(self) -> str:
        """In words; a part that time ran out on proves nothing, and nothing against it."""
        if not self.in_time:
            return "NOT DONE IN TIME"
        return "as it should be" if self.well else "NOT AS IT SHOULD BE"


def inside(house: House, *arguments: str) -> dict[str, int]:
    """Run one act inside the installation and return its figures."""
    command = [sys.executable, "-m", "tests.soak.inside", *arguments]
    done = subprocess.run(command, cwd=ROOT, env=house.environment, capture_output=True, text=True, check=False)
    if done.returncode:
        raise RuntimeError(done.stderr[-2000:])
    found: dict[str, int] = json.loads(done.stdout.strip().splitlines()[-1])
    return found


def worker(house: House, number: int) -> subprocess.Popen[bytes]:
    pool = ["--pool", "threads", "--concurrency", "1"]
    command = ["-m", "celery", "-A", "shop", "worker", *pool, "-n", f"w{number}@soak"]
    started: subprocess.Popen[bytes] = house.start(*command, **QUIET)
    return started


def until_done(house: House, deadline: float) -> dict[str, int]:
    """Wait until no job is open; ask again, once, for what was given up."""
    asked = 0
    while True:
        found = inside(house, "state")
        if not found["open"] and asked == 0 and found["given up"]:
            asked = inside(house, "again")["given up"]
        elif not found["open"] or time.monotonic() > deadline:
            return found
        else:
            time.sleep(3)


def kills(house: House, database: str, wanted: int, deadline: float) -> Row:
    """Kill workers of two at random moments, while thirty orders are planned and printed."""
    chance, killed, started = random.Random(2026), 0, WORKERS
    inside(house, "fill", str(ORDERS))
    begun = time.monotonic()
    until = begun + 0.7 * (deadline - begun)
    at_work = [worker(house, number) for number in range(WORKERS)]
    while not any(attempts for _state, attempts in house.jobs()) and time.monotonic() < until:
        time.sleep(0.2)
    # Twice what a worker takes to its first job: on a busy machine it would else never live to begin one.
    between = max(7.0, 2 * (time.monotonic() - begun))
    while killed < wanted and time.monotonic() < until:
        time.sleep(chance.uniform(0.5, between))
        victim = chance.randrange(WORKERS)
        at_work[victim].kill()
        at_work[victim].wait()
        killed, started = killed + 1, started + 1
        at_work[victim] = worker(house, started)
    found = until_done(house, deadline)
    for one in at_work:
        one.terminate()
    well = killed == wanted and not any(found[name] for name in ("open", "lost", "doubled", "without papers"))
    in_time = killed == wanted and not found["open"]
    return Row(database, "kills", {"kills": killed, "orders": ORDERS, **found}, well, in_time)


def clients(house: House, database: str) -> Row:
    found = inside(house, "clients")
    tried = found["pieces held"] and found["numbers given"] and found["orders opened"]
    return Row(database, "clients", found, bool(tried) and not found["doubled"] and not found["status 500"])


def memory(house: House, database: str, deadline: float) -> Row:
    """The worker's memory over ninety plannings and printings, against what it was with the first papers printed.

    A worker that has just started has loaded neither the search nor the typesetter: what it takes then says nothing of
    growth.
    """
    inside(house, "fill", str(PLANNINGS))
    one = worker(house, 1)
    sizes: list[int] = []
    first = 0
    while time.monotonic() < deadline:
        time.sleep(2)
        sizes.append(_resident_mb(one.pid))
        states = [state for state, _attempts in house.jobs()]
        # All orders are planned before papers are printed; whoever prints has planned.
        if not first and "done" in states[PLANNINGS:]:
            first = sizes[-1]
        if not sum(state in ("waiting", "running") for state in states):
            break
    done = sum(state == "done" for state, _attempts in house.jobs())
    one.terminate()
    figures = {"jobs done": done, "MB with papers": first, "MB at most": max(sizes), "MB at last": sizes[-1]}
    ended = time.monotonic() < deadline
    wanted = 2 * PLANNINGS if ended else PLANNINGS + ENOUGH_PRINTED
    return Row(
        database, "memory", figures, done >= wanted and max(sizes) < MOST_GROWTH * first, ended or done >= wanted
    )


def _resident_mb(pid: int) -> int:
    status = Path(f"/proc/{pid}/status").read_text()
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS"))) // 1024


def fields(house: House, database: str, deadline: float) -> Row:
    """Every field of every form with values at the edge."""
    command = [sys.executable, "-m", "pytest", "-m", "slow", "-q", "tests/shop/screens/test_screens_edge_values.py"]
    environment = {**house.environment, "DJANGO_SETTINGS_MODULE": "shop.config.settings"}
    try:
        left = max(1.0, deadline - time.monotonic())
        done = subprocess.run(
            command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False, timeout=left
        )
    except subprocess.TimeoutExpired:
        return Row(database, "fields", {"failed runs": 0}, well=False, in_time=False)
    found = re.findall(r"^FAILED .*", done.stdout, re.MULTILINE)
    print("\n".join([*found, f"{database}: {done.stdout.strip().splitlines()[-1]}"]), flush=True)
    return Row(database, "fields", {"failed runs": len(found)}, done.returncode == 0)


@contextmanager
def installation(database: str) -> Iterator[House]:
    """A new installation on one of the databases, gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="soak", ignore_cleanup_errors=True) as folder:
        if database == "sqlite":
            yield from _opened(House(Path(folder), settings="shop.config.settings"))
            return
        with postgres() as address:
            yield from _opened(House(Path(folder), address, settings="shop.config.settings"))


def _opened(house: House) -> Iterator[House]:
    try:
        house.migrate()
        yield house
    finally:
        house.close()


def soak(database: str, part: str, wanted: int, deadline: float) -> Row:
    with installation(database) as house:
        if part == "kills":
            return kills(house, database, wanted, deadline)
        if part == "memory":
            return memory(house, database, deadline)
        return clients(house, database) if part == "clients" else fields(house, database, deadline)


def whole(database: str, parts: Sequence[str], wanted: int, seconds: float) -> list[Row]:
    """Run the parts on one database, one after the other; what one leaves of its time goes to the next ones."""
    rows, end = [], time.monotonic() + seconds
    for at, part in enumerate(parts):
        begun = time.monotonic()
        share = PARTS[part] / sum(PARTS[left] for left in parts[at:])
        row = soak(database, part, wanted, begun + (end - begun) * share)
        rows.append(row)
        figures = ", ".join(f"{name} {value}" for name, value in row.figures.items())
        took = time.monotonic() - begun
        print(f"{database:<11} {part:<8} {took:5.0f} s  {row.verdict}: {figures}", flush=True)
    return rows


def main(argv: list[str]) -> int:
    """Run what was asked for, the databases side by side, and print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak", description=__doc__)
    parser.add_argument("--only", choices=["sqlite", "postgresql"])
    parser.add_argument("--part", choices=PARTS)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--kills", type=int, default=30)
    asked = parser.parse_args(argv)
    databases = [asked.only] if asked.only else ["sqlite", "postgresql"]
    if "postgresql" in databases and not postgres_program("initdb"):
        print("Not run on PostgreSQL: it is not installed (Debian: apt-get install postgresql).")
        databases.remove("postgresql")
    parts = [asked.part] if asked.part else list(PARTS)
    os.environ.pop("DATABASE_URL", None)
    with ThreadPoolExecutor(max(1, len(databases))) as pool:
        runs = [pool.submit(whole, one, parts, asked.kills, asked.minutes * 60) for one in databases]
        rows = [row for run in runs for row in run.result()]
    return 0 if all(row.well for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
