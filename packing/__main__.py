"""Plan one order file: ``python -m packing ORDER.json --out DIR``."""

import argparse
import contextlib
import datetime as dt
import fcntl
import io
import json
import os
import re
import signal
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from packing.measure import BadInput, Order, read_order, warnings_for

PLANNED, BAD_INPUT, NO_PLAN = 0, 2, 3
LATE_SECONDS = 0.8
"""How long after `--seconds` the command may end: within a second, the start of Python included."""
TAIL_SECONDS, TAIL_SECONDS_AN_ITEM, CUT_FILES_SECONDS = 0.4, 0.02, 0.5
"""Taken by checking, drawing and writing a plan, and by its cutting files (measured on one slow core)."""
DRAWING = re.compile(r"(layer-\d+|sheet-S\d+|side-section|open-box|blank|closed-box)\.svg|cut-[a-z0-9-]+\.(svg|dxf)")
"""Names of the drawings and cutting files in an output folder."""


def _arguments(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m packing", description="Plan the box for one order file.")
    parser.add_argument("order", metavar="ORDER.json", help="order file: measured items and rules")
    parser.add_argument("--out", required=True, metavar="DIR", help="folder for plan.json and drawings")
    parser.add_argument("--cut-files", action="store_true", help="also write cutting files: cut-*.svg, cut-*.dxf")
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


def _whole(text: str) -> int:
    try:
        return int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a whole number, not {text!r}") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    content: dict[str, Any] = {}
    for key, value in pairs:
        if key in content:
            raise BadInput(key, "is given twice in one object.")
        content[key] = value
    return content


def load_order(path: str) -> Order:
    """Read an order file; raises `BadInput` where it cannot be read or taken."""
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except OSError as error:
        raise BadInput("ORDER.json", f"cannot be read: {error.strerror}: {path}.") from None
    except UnicodeDecodeError as error:
        raise BadInput("ORDER.json", f"is not UTF-8 text: byte {error.start + 1} of {path} is not.") from None
    try:
        content = json.loads(text, parse_float=Decimal, parse_int=Decimal, object_pairs_hook=_once)
    except (ValueError, RecursionError) as error:
        raise BadInput("ORDER.json", f"is not JSON: {error}.") from None
    return read_order(content)


def refuse_unusable(folder: str) -> None:
    """Raise `BadInput`, before anything is planned, where a folder cannot be made or written."""
    if not folder:
        raise BadInput("--out", "must name a folder, not an empty text.")
    place = Path(folder).absolute()
    try:
        while not place.exists():
            place = place.parent
    except OSError as error:
        raise BadInput("--out", f"cannot be used: {error.strerror}: {place}.") from None
    if not place.is_dir():
        raise BadInput("--out", f"must be a folder; {place} is none.")
    if not os.access(place, os.W_OK | os.X_OK):
        raise BadInput("--out", f"must be a folder that can be written; {place} cannot.")


@contextlib.contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Runs that write to one folder wait for each other."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        with contextlib.suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _beside(folder: Path, text: str) -> Path:
    """A file in this folder with this text, under a name of its own; what may be read is as with any new file."""
    handle, name = tempfile.mkstemp(dir=folder, prefix=".", suffix=".part")
    with open(handle, "w", encoding="utf-8") as file:
        file.write(text)
    mask = os.umask(0)
    os.umask(mask)
    os.chmod(name, 0o666 & ~mask)
    return Path(name)


def hand_over(folder: Path, files: dict[str, str]) -> None:
    """Write files into a folder, each whole or not at all; drawings of an earlier plan that are not among them go.

    Raises
    ------
    BadInput
        The folder cannot be made or written.
    """
    parts: dict[str, Path] = {}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _alone_in(folder):
            for name, text in files.items():
                parts[name] = _beside(folder, text)
            for name, part in parts.items():
                part.replace(folder / name)
            for old in folder.iterdir():
                if DRAWING.fullmatch(old.name) and old.name not in files:
                    old.unlink()
    except OSError as error:
        raise BadInput("--out", f"cannot be written: {error.strerror}: {error.filename}.") from None
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)


@contextlib.contextmanager
def _until_stopped() -> Iterator[Callable[[], bool]]:
    """While open, Ctrl-C and TERM end nothing: what is given says whether one has come."""
    stopping = threading.Event()
    before = {number: signal.getsignal(number) for number in (signal.SIGINT, signal.SIGTERM)}
    for number in before:
        signal.signal(number, lambda *_: stopping.set())
    try:
        yield stopping.is_set
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def drawings(content: dict[str, Any]) -> dict[str, str]:
    """The drawings of a plan's content: file name to SVG text; sheets that are cut alike are drawn once."""
    from packing import draw

    layers = range(len(content["layers"])) if content["layers"] else [None]
    made = {f"layer-{0 if layer is None else layer + 1}.svg": draw.plan_view(content, layer) for layer in layers}
    made |= {"side-section.svg": draw.side_section(content), "open-box.svg": draw.isometric(content)}
    made |= {f"sheet-{ids[0]}.svg": draw.sheet_drawing(content, ids[0]) for ids in draw.alike(content)}
    made |= {"blank.svg": draw.blank_drawing(content), "closed-box.svg": draw.small_box(content)}
    return {name: drawing.svg for name, drawing in made.items()}


def cutting_files(content: dict[str, Any]) -> dict[str, str]:
    """The cutting files of a plan's box and insert, full size: file name to SVG or DXF text."""
    from packing.draw.cut_file_dxf import cut_files

    return {f"cut-{name}": text for name, text in cut_files(content).items()}


def billed(content: dict[str, Any], on: dt.date) -> list[dict[str, Any]]:
    """What each published carrier rule in force on a day bills for the plan's box: dated values, to be checked."""
    from packing.carry import SERVICES, bill, bill_content, services_on

    sides, most = ([round(side * 1000) for side in content["box"][key]] for key in ("outer_mm", "most_mm"))
    gross_mg = round(content["weight"]["gross_g"] * 1000)
    services = services_on(SERVICES, on)
    return [bill_content(bill(tuple(sides), gross_mg, service, most_um=tuple(most))) for service in services]


def price_of(name: str, on: dt.date) -> Callable[[tuple[int, int, int], int], Fraction]:
    """The billed weight under the published rule whose carrier and service hold this name; refused unless just one."""
    from packing.carry import SERVICES, bill, services_on

    known = services_on(SERVICES, on)
    names = [f"{service.carrier} {service.service}" for service in known]
    found = [service for service, full in zip(known, names, strict=True) if name.casefold() in full.casefold()]
    if len(found) != 1:
        raise BadInput("--service", f"must name one of {'; '.join(names)}; “{name}” names {len(found)} of them.")
    return lambda outer_um, gross_mg: Fraction(bill(outer_um, gross_mg, found[0]).billed)


def _by(sides: list[float]) -> str:
    return " x ".join(str(side) for side in sides)


def _report(content: dict[str, Any]) -> str:
    bound = content["lower_bound_mm3"]
    closeness = (
        "the smallest possible" if content["proven"] else f"at most {content['gap']:.1%} above the smallest possible"
    )
    gross = f"{content['weight']['gross_g'] / 1000:.2f} kg ± {content['weight']['tolerance_g']:.0f} g"
    return (
        f"{content['order']}: interior {_by(content['interior_mm'])} mm, {closeness} "
        f"(bound {bound / 1e6:.2f} l); box {_by(content['box']['outer_mm'])} mm outside; gross {gross}."
    )


def main(argv: list[str]) -> int:
    """Plan an order file; returns the exit code: 0 planned, 2 bad input, 3 no plan."""
    begun = time.monotonic()
    arguments = _arguments(argv)
    try:
        order = load_order(arguments.order)
        refuse_unusable(arguments.out)
        with _until_stopped() as stop:
            for sentence in warnings_for(order):
                print(f"warning: {sentence}", file=sys.stderr, flush=True)
            return _plan(order, arguments, in_time(order, arguments, begun, stop))
    except BadInput as error:
        print(error, file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("stopped before the order was read; there is no plan", file=sys.stderr)
        return NO_PLAN


def in_time(order: Order, arguments: argparse.Namespace, begun: float, stop: Callable[[], bool]) -> Callable[[], bool]:
    """When the search must end so that the command is not late, however slow its start and its drawings.

    Half of its seconds it always has.
    """
    from packing.nest import DEFAULT_SECONDS

    if arguments.effort is not None:
        return stop
    seconds = DEFAULT_SECONDS if arguments.seconds is None else arguments.seconds
    tail = TAIL_SECONDS + TAIL_SECONDS_AN_ITEM * len(order.items) + CUT_FILES_SECONDS * arguments.cut_files
    last = begun + seconds + LATE_SECONDS - tail
    asked_first: list[float] = []

    def late() -> bool:
        now = time.monotonic()
        if not asked_first:
            asked_first.append(now)
        return stop() or now >= max(last, asked_first[0] + seconds / 2)

    return late


def _plan(order: Order, arguments: argparse.Namespace, stop: Callable[[], bool]) -> int:
    from packing.check import check_plan
    from packing.planning.plan import plan

    on = arguments.date or dt.datetime.now().astimezone().date()
    answer = plan(
        order,
        seconds=arguments.seconds,
        effort=arguments.effort,
        seed=arguments.seed,
        aim=arguments.aim,
        price=None if arguments.service is None else price_of(arguments.service, on),
        stop=stop,
    )
    files: dict[str, str] = {}
    if answer.status == "planned":
        answer.content["carry"] = billed(answer.content, on)
        problems = check_plan(order, answer.content)
        if problems:
            for problem in problems:
                print(f"the plan breaks a rule: {problem}", file=sys.stderr)
            return 1
        files = drawings(answer.content) | (cutting_files(answer.content) if arguments.cut_files else {})
    files["plan.json"] = json.dumps(answer.content, indent=1, ensure_ascii=False) + "\n"
    hand_over(Path(arguments.out), files)
    if answer.status != "planned":
        print(answer.content["message"], file=sys.stderr)
        return NO_PLAN
    print(_report(answer.content))
    return PLANNED


if __name__ == "__main__":
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")
    sys.exit(main(sys.argv[1:]))
