"""Plan one order file: ``python -m packing ORDER.json --out DIR``."""

import argparse
import datetime as dt
import json
import signal
import sys
import tempfile
import threading
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from packing.measure import BadInput, Order, read_order, warnings_for

PLANNED, BAD_INPUT, NO_PLAN = 0, 2, 3


def _arguments(argv: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m packing", description="Plan the box for one order file.")
    parser.add_argument("order", metavar="ORDER.json", help="order file: measured items and rules")
    parser.add_argument("--out", required=True, metavar="DIR", help="folder for plan.json and the drawings")
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
        text = Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise BadInput("ORDER.json", f"cannot be read: {error}.") from None
    try:
        content = json.loads(text, parse_float=Decimal, object_pairs_hook=_once)
    except (json.JSONDecodeError, RecursionError) as error:
        raise BadInput("ORDER.json", f"is not JSON: {error}.") from None
    return read_order(content)


def _write(folder: Path, name: str, text: str) -> None:
    """Whole or not at all: written beside its place and renamed."""
    with tempfile.NamedTemporaryFile(
        "w", encoding="utf-8", dir=folder, prefix=".", suffix=".part", delete=False
    ) as file:
        file.write(text)
    Path(file.name).replace(folder / name)


def drawings(content: dict[str, Any]) -> dict[str, str]:
    """The drawings of a plan's content: file name to SVG text; sheets that are cut alike are drawn once."""
    from packing import draw

    layers = range(len(content["layers"])) if content["layers"] else [None]
    made = {f"layer-{0 if layer is None else layer + 1}.svg": draw.plan_view(content, layer) for layer in layers}
    made |= {"side-section.svg": draw.side_section(content), "open-box.svg": draw.isometric(content)}
    made |= {f"sheet-{ids[0]}.svg": draw.sheet_drawing(content, ids[0]) for ids in draw.alike(content)}
    made |= {"blank.svg": draw.blank_drawing(content), "closed-box.svg": draw.small_box(content)}
    return {name: drawing.svg for name, drawing in made.items()}


def billed(content: dict[str, Any], on: dt.date) -> list[dict[str, Any]]:
    """What each published carrier rule in force on a day bills for the plan's box: dated values, to be checked."""
    from packing.carry import SERVICES, bill, bill_content, services_on

    sides = tuple(round(side * 1000) for side in content["box"]["outer_mm"])
    gross_mg = round(content["weight"]["gross_g"] * 1000)
    return [bill_content(bill(sides, gross_mg, service)) for service in services_on(SERVICES, on)]


def price_of(name: str, on: dt.date) -> Callable[[tuple[int, int, int], int], Fraction]:
    """The billed weight under the published rule whose carrier and service hold this name; refused unless just one."""
    from packing.carry import SERVICES, bill, services_on

    known = services_on(SERVICES, on)
    names = [f"{service.carrier} {service.service}" for service in known]
    found = [service for service, full in zip(known, names, strict=True) if name.casefold() in full.casefold()]
    if len(found) != 1:
        raise BadInput("--service", f"must name one of {'; '.join(names)}; “{name}” names {len(found)} of them.")
    return lambda outer_um, gross_mg: Fraction(bill(outer_um, gross_mg, found[0]).billed)


def _report(content: dict[str, Any]) -> str:
    length, width, height = content["interior_mm"]
    bound = content["lower_bound_mm3"]
    outer = " x ".join(f"{side:g}" for side in content["box"]["outer_mm"])
    closeness = (
        "the smallest possible" if content["proven"] else f"at most {content['gap']:.1%} above the smallest possible"
    )
    gross = f"{content['weight']['gross_g'] / 1000:.2f} kg ± {content['weight']['tolerance_g']:.0f} g"
    return (
        f"{content['order']}: interior {length:g} x {width:g} x {height:g} mm, {closeness} "
        f"(bound {bound / 1e6:.2f} l); box {outer} mm outside; gross {gross}."
    )


def main(argv: list[str]) -> int:
    """Plan an order file; returns the exit code: 0 planned, 2 bad input, 3 no plan."""
    arguments = _arguments(argv)
    try:
        order = load_order(arguments.order)
        for sentence in warnings_for(order):
            print(f"warning: {sentence}", file=sys.stderr)
        return _plan(order, arguments)
    except BadInput as error:
        print(error, file=sys.stderr)
        return BAD_INPUT


def _plan(order: Order, arguments: argparse.Namespace) -> int:
    from packing.check import check_plan
    from packing.choose import plan

    stopping = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: stopping.set())
    on = arguments.date or dt.datetime.now().astimezone().date()
    answer = plan(
        order,
        seconds=arguments.seconds,
        effort=arguments.effort,
        seed=arguments.seed,
        aim=arguments.aim,
        price=None if arguments.service is None else price_of(arguments.service, on),
        stop=stopping.is_set,
    )
    folder = Path(arguments.out)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadInput("--out", f"cannot be made: {error}.") from None
    if answer.status != "planned":
        _write(folder, "plan.json", json.dumps(answer.content, indent=1, ensure_ascii=False) + "\n")
        print(answer.content["message"], file=sys.stderr)
        return NO_PLAN
    answer.content["carry"] = billed(answer.content, on)
    problems = check_plan(order, answer.content)
    if problems:
        for problem in problems:
            print(f"the plan breaks a rule: {problem}", file=sys.stderr)
        return 1
    for name, text in drawings(answer.content).items():
        _write(folder, name, text)
    _write(folder, "plan.json", json.dumps(answer.content, indent=1, ensure_ascii=False) + "\n")
    print(_report(answer.content))
    return PLANNED


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
