"""The numbers written in a rules file, and the same file with one of them a step up or down."""

import ast
import copy
import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

_FIGURE = re.compile(r"\d+(?:\.\d+)?")
_NOT_RULES = {"as_of", "ndigits", "days", "source", "note", "name", "example_mm", "example_in"}
"""Keywords whose figures are no rule: the day of reading, digits shown, the step between two spells, examples."""


@dataclass(frozen=True)
class Constant:
    """A number in a file: which node of the tree it is, where it stands, and what it is part of."""

    index: int
    line: int
    text: str


def step_of(value: Decimal) -> Decimal:
    """One step: the last figure that counts, but no more than a tenth of the value."""
    if value == value.to_integral_value():
        step = Decimal(1)
        while value % (step * 10) == 0 and step * 10 <= abs(value) / 10:
            step *= 10
        return step
    exponent = value.as_tuple().exponent
    return Decimal(1).scaleb(int(exponent))


def _is_date(node: ast.AST) -> bool:
    return (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr == "date"
        and len(node.args) == 3
        and all(isinstance(argument, ast.Constant) for argument in node.args)
    )


def _is_number(node: ast.AST) -> bool:
    if not isinstance(node, ast.Constant) or isinstance(node.value, bool):
        return False
    if isinstance(node.value, str):
        return bool(_FIGURE.fullmatch(node.value)) and Decimal(node.value) != 0
    return isinstance(node.value, int | float) and node.value != 0


def _inside(node: ast.AST) -> Iterator[ast.expr]:
    """Numbers and dates below a node, in order; subscripts, format specifications and docstrings left out."""
    if isinstance(node, ast.expr) and (_is_date(node) or _is_number(node)):
        yield node
        return
    if isinstance(node, ast.Dict):
        for key, entry in zip(node.keys, node.values, strict=True):
            if not (isinstance(key, ast.Constant) and key.value in _NOT_RULES):
                yield from _inside(entry)
        return
    for name, value in ast.iter_fields(node):
        for child in value if isinstance(value, list) else [value]:
            skip = (
                not isinstance(child, ast.AST)
                or isinstance(child, ast.JoinedStr)
                or (isinstance(child, ast.keyword) and child.arg in _NOT_RULES)
                or (isinstance(node, ast.Subscript) and name == "slice")
                or (isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant))
            )
            if not skip:
                yield from _inside(child)


def _names(statement: ast.stmt) -> set[str]:
    """What a statement gives a value to, or the function it defines."""
    if isinstance(statement, ast.FunctionDef):
        return {statement.name}
    targets = statement.targets if isinstance(statement, ast.Assign) else [getattr(statement, "target", None)]
    return {target.id for target in targets if isinstance(target, ast.Name)}


def _places(tree: ast.Module, names: tuple[str, ...] | None) -> Iterator[ast.expr]:
    """The nodes of the file's rules: all of it, or the named assignments, functions and dataclass fields."""
    for top in tree.body:
        if names is None:
            yield from _inside(top)
            continue
        inner = top.body if isinstance(top, ast.ClassDef) and top.name in names else [top]
        for statement in inner:
            if (statement is not top and isinstance(statement, ast.AnnAssign)) or _names(statement) & set(names):
                yield from _inside(statement)


def constants(source: str, names: tuple[str, ...] | None = None) -> list[Constant]:
    """Every number of a file's rules.

    Parameters
    ----------
    source
        The file's text.
    names
        Assignments, functions and dataclasses to look at; None for the whole file.

    Returns
    -------
    list of Constant
        In the order of the file.
    """
    lines = source.splitlines()
    return [
        Constant(index, node.lineno, lines[node.lineno - 1].strip())
        for index, node in enumerate(_places(ast.parse(source), names))
    ]


def _stepped(node: ast.expr, sign: int) -> tuple[str, str]:
    """Change a node of the tree by one step; what it was and what it is."""
    if isinstance(node, ast.Call):
        parts = [argument.value for argument in node.args if isinstance(argument, ast.Constant)]
        day = dt.date(*(part for part in parts if isinstance(part, int)))
        after = day + dt.timedelta(days=sign)
        node.args = [ast.copy_location(ast.Constant(part), node) for part in (after.year, after.month, after.day)]
        return day.isoformat(), after.isoformat()
    assert isinstance(node, ast.Constant)
    before = node.value
    value = Decimal(str(before))
    changed = value + sign * step_of(value)
    if isinstance(before, int):
        node.value = int(changed)
    else:
        node.value = float(changed) if isinstance(before, float) else str(changed)
    return str(before), str(node.value)


def changed(source: str, constant: Constant, sign: int, names: tuple[str, ...] | None = None) -> tuple[ast.Module, str]:
    """The file's tree with one number a step up or down.

    Returns
    -------
    tuple
        The tree, and "48 → 49" in words.
    """
    tree = copy.deepcopy(ast.parse(source))
    node = list(_places(tree, names))[constant.index]
    before, after = _stepped(node, sign)
    return tree, f"{before} → {after}"
