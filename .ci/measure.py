"""Prints how the house stands: sizes, words that decide, untyped content, documentation.

Usage: measure.py [--list]. Runs on the standard library alone. `--list` names the places behind each figure that is
over its limit.
"""

import ast
import io
import sys
import tokenize
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parent.parent
WINGS = ("packing", "shop")
READS_FILES = (
    "packing/check/",
    "packing/plan/files.py",
    "packing/plan/upgrades.py",
    "packing/plan/message_file.py",
    "packing/plan/scaling.py",
    "packing/plan/schema.py",
)
"""Where a plan's file is read as JSON on purpose: the separate checker, the one reader and writer and its parts."""
Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass
class Figure:
    """One measured figure, its limit, and the places behind it."""

    name: str
    value: float
    limit: float
    at_least: bool = False
    places: list[str] = field(default_factory=list)

    @property
    def met(self) -> bool:
        """Whether the value keeps its limit."""
        return self.value >= self.limit if self.at_least else self.value <= self.limit


@dataclass
class Source:
    """A Python file with its tree."""

    name: str
    text: str
    tree: ast.Module


def main(arguments: list[str]) -> int:
    """Print every figure; return 1 where one is over its limit."""
    sources = list(read(WINGS))
    found = [*words(sources), *sizes(sources), *documentation(sources)]
    for one in found:
        sign = "  " if one.met else "! "
        print(f"{sign}{one.name:<58}{one.value:>9.4g}   {'at least' if one.at_least else 'at most'} {one.limit:g}")
        if "--list" in arguments and not one.met:
            print("\n".join(f"      {place}" for place in one.places))
    print("* Left out, with how many there are:")
    print("\n".join(f"    {what:<76}{count:>5}" for what, count in left_out(sources).items()))
    return 0 if all(one.met for one in found) else 1


def read(folders: tuple[str, ...]) -> Iterator[Source]:
    for folder in folders:
        for path in sorted((ROOT / folder).rglob("*.py")):
            if "migrations" not in path.parts:
                text = path.read_text()
                yield Source(str(path.relative_to(ROOT)), text, ast.parse(text))


LEFT_OUT = {
    "fields and data of forms and serializers": (
        *("cleaned", "cleaned_data", "validated_data", "fields", "errors", "error_messages", "form"),
    ),
    "options of commands": ("options",),
    "contexts of templates": ("context",),
    "the record of changes": ("before", "after"),
    "Django's settings": ("DATABASES",),
    "types of rows named before they are there": ("QuerySet", "Manager"),
}
"""What Django holds by name, and the record of changes, which keeps rows as they were: by what it is read from."""


def words(sources: list[Source]) -> list[Figure]:
    """Content read by string, and decisions by string."""
    subscripts, comparisons, untyped = [], [], []
    for source in sources:
        if source.name.startswith(READS_FILES):
            continue
        for node in ast.walk(source.tree):
            if is_read_by_text(node) and why_left_out(node) is None:
                subscripts.append(place(source, node))
            if isinstance(node, ast.Compare) and decides_by_text(node):
                comparisons.append(place(source, node))
            if is_untyped(node):
                untyped.append(place(source, node))
    return [
        Figure("string subscripts on content, not of forms, commands *", len(subscripts), 0, places=subscripts),
        Figure("comparisons with string literals", len(comparisons), 30, places=comparisons),
        Figure("dict[str, Any]", len(untyped), 60, places=untyped),
    ]


def left_out(sources: list[Source]) -> dict[str, int]:
    """Count what the figures above leave out, by what it is."""
    counts = dict.fromkeys(LEFT_OUT, 0)
    writes = subscripts = comparisons = untyped = 0
    for source in sources:
        in_files = source.name.startswith(READS_FILES)
        for node in ast.walk(source.tree):
            by_text = isinstance(node, ast.Subscript) and is_text(node.slice)
            if in_files:
                subscripts += by_text
                comparisons += isinstance(node, ast.Compare) and decides_by_text(node)
                untyped += is_untyped(node)
            elif is_read_by_text(node):
                why = why_left_out(node)
                counts.update({why: counts[why] + 1} if why else {})
            else:
                writes += by_text
    return {
        **{f"string subscripts read from {what}": count for what, count in counts.items()},
        "string subscripts that are written or deleted, not read": writes,
        "string subscripts in the plan's file and the separate checker": subscripts,
        "comparisons with string literals there": comparisons,
        "dict[str, Any] there": untyped,
    }


def sizes(sources: list[Source]) -> list[Figure]:
    """Lines of files and functions, and of comments."""
    files = {source.name: len(source.text.splitlines()) for source in sources}
    functions = {
        f"{source.name}:{node.lineno} {node.name}": body_lines(node)
        for source in sources
        for node in ast.walk(source.tree)
        if isinstance(node, Function)
    }
    comments = sum(comment_lines(source) for source in sources)
    longest = sorted(files, key=lambda name: -files[name])
    slowest = sorted(functions, key=lambda name: -functions[name])
    return [
        Figure("lines of a file, 90th percentile", share(files.values(), 0.9), 250),
        Figure("lines of the longest file", max(files.values()), 400, places=longest[:10]),
        Figure("lines of a function, median", median(functions.values()), 6),
        Figure("lines of a function, 90th percentile", share(functions.values(), 0.9), 20),
        Figure("lines of the longest function", max(functions.values()), 60, places=slowest[:10]),
        Figure("comment lines, % of all lines, at least", 100 * comments / sum(files.values()), 2, at_least=True),
        Figure("comment lines, % of all lines, at most", 100 * comments / sum(files.values()), 5),
    ]


ASKING = tuple(f"{word} " for word in ("What", "How", "Which", "Whether", "When", "Why"))
"""A docstring states; it does not ask."""


def documentation(sources: list[Source]) -> list[Figure]:
    """Full docstrings of what packages export, and references."""
    exported = exported_functions(sources)
    bare = [
        name
        for name, node in exported.items()
        if not all(section in (ast.get_docstring(node) or "") for section in sections_owed(node))
    ]
    references = [
        place(source, node)
        for source in sources
        for node in ast.walk(source.tree)
        if isinstance(node, Function | ast.Module | ast.ClassDef) and "References\n" in (ast.get_docstring(node) or "")
    ]
    asking = [
        place(source, node)
        for source in sources
        for node in ast.walk(source.tree)
        if isinstance(node, ast.Expr) and is_text(node.value) and ast.unparse(node.value)[1:].startswith(ASKING)
    ]
    whole = 100 * (1 - len(bare) / max(1, len(exported)))
    return [
        Figure("exported functions with a full docstring, %", whole, 100, at_least=True, places=sorted(bare)),
        Figure("docstrings that begin with What, How, Which, Whether …", len(asking), 0, places=asking),
        Figure("docstrings with references", len(references), 22, at_least=True),
    ]


def exported_functions(sources: list[Source]) -> dict[str, Function]:
    """The functions that a package's `__init__` hands on, by file and name."""
    named: set[str] = set()
    for source in sources:
        if source.name.endswith("__init__.py"):
            for node in ast.walk(source.tree):
                if isinstance(node, ast.ImportFrom) and node.module:
                    package = f"{Path(source.name).parent}.".replace("/", ".") if node.level else ""
                    named.update(f"{package}{node.module}.{alias.name}" for alias in node.names)
    found = {}
    for source in sources:
        module = source.name.removesuffix(".py").replace("/", ".")
        for node in source.tree.body:
            if isinstance(node, Function) and f"{module}.{node.name}" in named:
                found[f"{source.name}:{node.lineno} {node.name}"] = node
    return found


def sections_owed(node: Function) -> list[str]:
    """The sections that a function's docstring owes: parameters where it takes any, returns where it gives any."""
    arguments = node.args.posonlyargs + node.args.args + node.args.kwonlyargs
    gives = node.returns is not None and ast.unparse(node.returns) != "None"
    owed = ["Parameters\n"] if arguments else []
    return [*owed, "Returns\n"] if gives else owed


def decides_by_text(node: ast.Compare) -> bool:
    """Whether a comparison has a literal text in it; `__name__ == "__main__"` is how Python asks who started it."""
    started = isinstance(node.left, ast.Name) and node.left.id == "__name__"
    return not started and any(is_text(side) for side in (node.left, *node.comparators))


def is_read_by_text(node: ast.AST) -> bool:
    """Tell whether something is read by a literal text, not written."""
    return isinstance(node, ast.Subscript) and is_text(node.slice) and isinstance(node.ctx, ast.Load)


def is_untyped(node: ast.AST) -> bool:
    return isinstance(node, ast.Subscript) and ast.unparse(node) in ("dict[str, Any]", "Mapping[str, Any]")


def why_left_out(node: ast.AST) -> str | None:
    """The kind of thing that is read by a string, where it cannot be content of a plan; None where it may be."""
    held = node.value if isinstance(node, ast.Subscript) else node
    while isinstance(held, ast.Subscript):
        held = held.value
    name = held.attr if isinstance(held, ast.Attribute) else held.id if isinstance(held, ast.Name) else ""
    return next((what for what, names in LEFT_OUT.items() if name in names), None)


def is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value != ""


def place(source: Source, node: ast.AST) -> str:
    return f"{source.name}:{getattr(node, 'lineno', 1)}"


def body_lines(node: Function) -> int:
    """Lines of a function without its docstring and signature."""
    first = node.body[0]
    has_docstring = isinstance(first, ast.Expr) and is_text(first.value)
    body = node.body[1:] if has_docstring else node.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def comment_lines(source: Source) -> int:
    """Lines with a comment, and module-level texts that explain the constant above them."""
    tokens = tokenize.generate_tokens(io.StringIO(source.text).readline)
    comments = {token.start[0] for token in tokens if token.type == tokenize.COMMENT and "noqa" not in token.string}
    explained = sum(
        (node.end_lineno or node.lineno) - node.lineno + 1
        for before, node in zip(source.tree.body, source.tree.body[1:], strict=False)
        if isinstance(node, ast.Expr) and is_text(node.value) and isinstance(before, ast.Assign | ast.AnnAssign)
    )
    return len(comments) + explained


def share(values: object, part: float) -> float:
    ordered = sorted(values)  # type: ignore[call-overload]
    return float(ordered[min(len(ordered) - 1, int(part * len(ordered)))])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
