"""A small order and a good plan of it, made by hand: a hammer and a tin, over them a standing hammer and a block."""

import copy
import json
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path
from typing import Any

from packing.check import Problem, check_plan
from packing.measure import Order, read_order

DATA = Path(__file__).parent.parent / "data"
Content = dict[str, Any]
Change = Callable[[Content], object]


@lru_cache
def _read(name: str) -> str:
    return (DATA / name).read_text(encoding="utf-8")


def order_file() -> Content:
    """The order file's content; a copy to change."""
    content: Content = json.loads(_read("checked_order.json"))
    return content


def order(**rules: Any) -> Order:
    """The order, under other rules where they are given."""
    content = order_file()
    content["rules"] |= rules
    return read_order(content)


def plan() -> Content:
    """The good plan; a copy to change."""
    content: Content = json.loads(_read("checked_plan.json"))
    return content


def nesting() -> Content:
    """The good plan without insert, box and weights, and without what depends on where exactly the pieces lie."""
    content = plan()
    for key in ("insert", "box", "carton", "weight", "centre_of_gravity_mm", "gap"):
        del content[key]
    return content


def item(content: Content, name: str) -> Content:
    """One item of a plan."""
    found: Content = next(one for one in content["items"] if one["id"] == name)
    return found


def move(one: Content, *by_mm: float) -> None:
    """Move all parts of an item."""
    for part in one["parts"]:
        for corner in ("min_mm", "max_mm"):
            part[corner] = [round(value + by, 3) for value, by in zip(part[corner], by_mm, strict=True)]


def rules_broken(content: Any, *, by: Order | None = None, require: str = "full") -> set[str]:
    """Names of the rules the checker finds broken."""
    return {problem.rule for problem in problems(content, by=by, require=require)}


def problems(content: Any, *, by: Order | None = None, require: str = "full") -> list[Problem]:
    """What the checker finds; the content stays as it was."""
    before = copy.deepcopy(content)
    found = check_plan(by or order(), content, require=require)
    assert repr(content) == repr(before)
    return found
