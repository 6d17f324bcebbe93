"""``python -m tests.bench [--quick] [--long] [--results FILE]``: measure, print the tables, judge, keep the results.

Ends with status 1 where a figure misses its limit. A quick run is not kept unless a file is named.
"""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from tests.bench import inserts, invented, judge, stock, tables, weigh_in
from tests.bench.machine import Machine, describe
from tests.bench.plot import drawing
from tests.bench.rows import Row, append, last_run
from tests.bench.run import everything, set_up

RESULTS = Path(__file__).parent / "results.csv"


def _arguments(argv: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Benchmarks of the search.")
    parser.add_argument("--quick", action="store_true", help="fewer orders, under three minutes; not kept")
    parser.add_argument("--long", action="store_true", help="60 s an order as well")
    parser.add_argument("--results", type=Path, metavar="FILE", help=f"where results are kept ({RESULTS.name})")
    parser.add_argument("--redraw", action="store_true", help="only draw the newest results again")
    return parser.parse_args(argv)


def say(text: str) -> None:
    """Print a line."""
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


def report(machine: Machine, rows: Sequence[Row]) -> None:
    """Print a run's tables."""
    say(machine.sentence)
    say("")
    say(tables.order_table(rows))
    say("Ratios to the best known interior volume, * a new best; gap: above the lower bound; proven: after so long.")
    say("boxes: the same search on bounding boxes; py3dbp: a search over its containers, see tests/bench/pile.py.")
    say("")
    say(tables.margins(rows))
    say("")
    say(tables.limits_text())
    say("")
    say(tables.published_table(rows))
    say("")
    say(tables.growth_table(rows))
    say("")
    for row in rows:
        if row.kind == "start":
            say(f"from a new process to a plan of one piece: {row.wall_s:.3f} s")


def keep(path: Path, machine: Machine, rows: Sequence[Row]) -> None:
    """Append a run to the results and draw it beside them."""
    append(path, machine, rows)
    redraw(path)


def redraw(path: Path) -> None:
    """Draw the newest run of a results file beside it."""
    path.with_suffix(".svg").write_text(drawing(*last_run(path)), encoding="utf-8")


def main(argv: Sequence[str]) -> int:
    """Run, report, keep, judge; returns the exit status."""
    arguments = _arguments(argv)
    path = arguments.results or RESULTS
    if arguments.redraw:
        redraw(path)
        return 0
    machine = describe()
    trouble = set_up()
    if trouble:
        sys.stderr.write(trouble + "\n")
        return 1
    rows = everything(quick=arguments.quick, long=arguments.long, told=lambda text: sys.stderr.write(text + "\n"))
    report(machine, rows)
    say(invented.report(invented.rows(quick=arguments.quick)))
    say("")
    say(inserts.report(inserts.rows()))
    say(inserts.survey(quick=arguments.quick))
    say("")
    laid = stock.rows(quick=arguments.quick)
    say(stock.report(laid))
    say("")
    weighed = weigh_in.counted(*weigh_in.QUICK) if arguments.quick else weigh_in.counted()
    say(weigh_in.report(weighed))
    if arguments.results or not arguments.quick:
        keep(path, machine, rows)
    for sentence in judge.new_bests(rows):
        say(sentence)
    missed = [*judge.failures(rows, whole=not arguments.quick), *stock.failures(laid), *weigh_in.failures(weighed)]
    for sentence in missed:
        say(f"MISSED: {sentence}")
    say(f"{len(missed)} figures missed." if missed else "Every figure is met.")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
