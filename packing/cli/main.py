"""Plan one order file: ``python -m packing ORDER.json --out DIR``."""

import argparse
import contextlib
import datetime as dt
import io
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

from msgspec import structs

from packing import kernels
from packing.cli.billing import billing_of, bills_of
from packing.cli.boxing import boxed_best
from packing.cli.files import cut_way, cutting_files, drawings, load_order, refuse_unusable_folder, write_files
from packing.draw.cut_way import CutWay
from packing.measure import BadInput, Block, Order, warnings_for
from packing.plan import Figure, Message, Percent, Plan, Refusal, Sides, Weight, dumps, to_json
from packing.plan.kinds import Objective

PLANNED, BAD_INPUT, NO_PLAN = 0, 2, 3
"""Exit codes; 2 is what argparse gives for a bad command line, too."""
PLAN_FILE = "plan.json"
_AIMED = {
    Objective.PRICE: "chosen for the least bill",
    Objective.WORK: "chosen for the least work",
    Objective.FLAT: "chosen for the least outside height",
}
"""Said where another thing was aimed at: there it means little how near the smallest a box is."""
LATE_SECONDS = 0.8
"""The latest end of the command after `--seconds`: within a second, the start of Python included."""
TAIL_SECONDS, TAIL_SECONDS_A_BLOCK, TAIL_SECONDS_A_TOOL, CUT_FILES_SECONDS = 0.4, 0.007, 0.02, 0.5
"""Taken by checking, drawing and writing a plan, and by its cutting files (measured on one slow core)."""
SHORTEST_MEASURED_S, MOST_SLOWED = 0.1, 4.0
"""Less processor time than this tells nothing of how busy a machine is; one busier than this is not waited for."""
FEW_ITEMS, WAIT_SECONDS = 6, 8.0
"""Above so many items a command bounded by seconds waits so long for the compiler."""
LOOK_SECONDS = 0.05
"""Time between two looks at whether the search is compiled."""
STYLES_SECONDS = 0.4
"""Taken by boxes of every style round a handful of nestings (measured on one core shared with others)."""


def _arguments(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m packing", description="Plan the box for one order file.")
    parser.add_argument("order", metavar="ORDER.json", help="order file: measured items and rules")
    parser.add_argument("--out", required=True, metavar="DIR", help="folder for plan.json and drawings")
    parser.add_argument("--cut-files", action="store_true", help="also write cutting files: cut-*.svg, cut-*.dxf")
    parser.add_argument(
        "--cut-by", default="knife", metavar="TOOL", help="knife (default), laser, router, hot wire or band saw"
    )
    parser.add_argument("--kerf", type=_millimetres, metavar="MM", help="its cut takes so much; usual where left out")
    parser.add_argument("--on-edges", action="store_true", help="lines on the edges, not half a cut beside them")
    bound = parser.add_mutually_exclusive_group()
    bound.add_argument("--seconds", type=_seconds, metavar="S", help="bounds the search (default 2)")
    bound.add_argument("--effort", type=_whole, metavar="STEPS", help="bounds the search by steps; repeats exactly")
    parser.add_argument("--seed", type=_whole, default=0, metavar="N", help="whole number, default 0")
    parser.add_argument(
        "--aim", default="volume", metavar="AIM", help="volume (default), price, work or flat: what the box is least in"
    )
    parser.add_argument("--service", metavar="NAME", help="for --aim price: the carrier's service that bills the box")
    parser.add_argument("--date", type=_day, metavar="YYYY-MM-DD", help="day whose carrier rules bill it (today)")
    return parser.parse_args(argv)


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a day such as 2026-11-25, not {text!r}") from None


def _seconds(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a number of seconds, not {text!r}") from None


def _millimetres(text: str) -> int:
    try:
        return round(1000 * float(text))
    except (ValueError, OverflowError):
        raise argparse.ArgumentTypeError(f"must be a number of millimetres, not {text!r}") from None


def _whole(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a whole number, not {text!r}") from None


@contextlib.contextmanager
def _until_stopped() -> Iterator[Callable[[], bool]]:
    """While open, Ctrl-C and TERM end nothing: what is given says whether one has come."""
    stopping = threading.Event()
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    # TERM as well as Ctrl-C: a service that is shut down hands over its best plan, too.
    for number in before:
        signal.signal(number, lambda *_: stopping.set())
    try:
        yield stopping.is_set
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _closeness(plan: Plan) -> Message:
    """The distance from the smallest possible of an interior that was to be small."""
    bound = Figure(f"{plan.lower_bound_mm3 / 1e6:.2f}", "l")
    if plan.proven:
        return Message("the smallest possible (bound {bound})", bound=bound)
    if plan.gap is None:
        return Message("how near the smallest possible is not known (bound {bound})", bound=bound)
    gap = Percent(Decimal(f"{100 * plan.gap:.1f}"))
    return Message("at most {gap} above the smallest possible (bound {bound})", gap=gap, bound=bound)


def _report(plan: Plan, aim: Objective) -> str:
    """One line for the terminal: the interior, what it was chosen for and how good it is, the box, its weight."""
    sentence = Message(
        "{order}: interior {interior}, {aimed}; box {outer} outside, {box}; gross {gross} ± {tolerance}.",
        order=plan.order,
        interior=Sides(plan.interior_um),
        aimed=_closeness(plan) if aim is Objective.VOLUME else Message(_AIMED[aim]),
        outer=Sides(plan.box.outer_um),
        box=plan.box.name,
        gross=Weight(plan.weight.gross_mg),
        tolerance=Weight(plan.weight.tolerance_mg),
    )
    return str(sentence)


def main(argv: list[str]) -> int:
    """Plan an order file; returns the exit code: 0 planned, 2 bad input, 3 no plan."""
    begun = time.monotonic()
    arguments = _arguments(argv)
    try:
        order = load_order(arguments.order)
        way = cut_way(arguments.cut_by, arguments.kerf, moved=not arguments.on_edges) if arguments.cut_files else None
        refuse_unusable_folder(arguments.out)
        with _until_stopped() as stop:
            for sentence in warnings_for(order):
                print(f"warning: {sentence}", file=sys.stderr, flush=True)
            # What is waited for the compiler, once, is not of the time that was asked for.
            begun += _wait_for_compiler(_longest_wait(order, arguments), stop)
            return _plan(order, arguments, way, in_time(order, arguments, begun, stop))
    except BadInput as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("stopped before the order was read; there is no plan", file=sys.stderr)
        return NO_PLAN


def in_time(order: Order, arguments: argparse.Namespace, begun: float, stop: Callable[[], bool]) -> Callable[[], bool]:
    """The moment when the search must end so that the command is not late, however slow its start and its drawings.

    Half of its seconds it always has. On a machine that is busy with other things, what comes after the search is
    taken to be as slow as what came before it.
    """
    from packing.nest import DEFAULT_SECONDS

    if arguments.effort is not None:
        return stop
    seconds = DEFAULT_SECONDS if arguments.seconds is None else arguments.seconds
    blocks = sum(isinstance(item, Block) for item in order.items)
    tail = TAIL_SECONDS + TAIL_SECONDS_A_BLOCK * blocks + TAIL_SECONDS_A_TOOL * (len(order.items) - blocks)
    tail += CUT_FILES_SECONDS * arguments.cut_files + STYLES_SECONDS * (arguments.aim != Objective.VOLUME)
    before = time.monotonic(), time.process_time()
    ends: list[float] = []

    def late() -> bool:
        now = time.monotonic()
        if not ends:
            slow = (now - before[0]) / max(SHORTEST_MEASURED_S, time.process_time() - before[1])
            last = begun + seconds + LATE_SECONDS - tail * min(MOST_SLOWED, max(1.0, slow))
            ends.append(max(last, now + seconds / 2))
        return stop() or now >= ends[0]

    return late


def _longest_wait(order: Order, arguments: argparse.Namespace) -> float | None:
    """The most seconds to wait for the compiler; None for as long as it takes."""
    if arguments.effort is not None:
        # Bounded by steps, a search has no other way to an answer.
        return None if len(order.items) > 1 else 0.0
    # A search without kernels is near the best for a few items, and far from it for many.
    return WAIT_SECONDS if len(order.items) > FEW_ITEMS else 0.0


def _wait_for_compiler(most_s: float | None, stop: Callable[[], bool]) -> float:
    """Have the kernels compiled where they are not, and wait for it, at most so long; the seconds waited."""
    if most_s == 0 or kernels.are_compiled() or not kernels.compile_beside():
        return 0.0
    takes = "; this takes about half a minute." if most_s is None else f": up to {most_s:g} s longer."
    print(f"The search is being compiled, once{takes}", file=sys.stderr, flush=True)
    begun = time.monotonic()
    while not stop() and kernels.are_compiling() and (most_s is None or time.monotonic() - begun < most_s):
        time.sleep(LOOK_SECONDS)
    return time.monotonic() - begun


def _plan(order: Order, arguments: argparse.Namespace, way: CutWay | None, stop: Callable[[], bool]) -> int:
    from packing.check import check_plan
    from packing.planning import plan_parcel

    on = arguments.date or dt.datetime.now().astimezone().date()
    billing = None if arguments.service is None else billing_of(arguments.service, on)
    answer = plan_parcel(
        order,
        seconds=arguments.seconds,
        effort=arguments.effort,
        seed=arguments.seed,
        aim=arguments.aim,
        billing=billing,
        stop=stop,
    )
    folder = Path(arguments.out)
    if isinstance(answer.answer, Refusal):
        write_files(folder, {PLAN_FILE: dumps(answer.answer)})
        print(answer.answer.message, file=sys.stderr)
        return NO_PLAN
    aim = Objective(arguments.aim)
    plan = answer.plan if aim is Objective.VOLUME else boxed_best(order, answer, aim, billing)
    plan = structs.replace(plan, carry=bills_of(plan, on))
    problems = check_plan(order, to_json(plan))
    if problems:
        for problem in problems:
            print(f"the plan breaks a rule: {problem}", file=sys.stderr)
        return 1
    files = drawings(plan) | {PLAN_FILE: dumps(plan)}
    try:
        files |= {} if way is None else cutting_files(plan, way)
    finally:
        # Where the cut is too wide for a part, the plan is there all the same.
        write_files(folder, files)
    print(_report(plan, aim))
    if answer.nesting.message.template:
        print(f"note: {answer.nesting.message}", file=sys.stderr)
    return PLANNED


def run() -> None:
    """Plan the order file that the command line names, and end Python with the exit code of `main`."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    sys.exit(main(sys.argv[1:]))
