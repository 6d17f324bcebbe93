"""``python -m tests.mutation``: change each published figure by one step and see whether an outside check notices.

Every change is tried up and down, in a process of its own that reads the changed file from memory; no file is
written. Ends with status 1 where more figures than allowed are noticed by no test.
"""

import argparse
import ast
import importlib.abc
import importlib.machinery
import importlib.util
import os
import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, ModuleType

from tests.mutation.constants import Constant, changed, constants
from tests.mutation.targets import TARGETS, Target

ROOT = Path(__file__).parent.parent.parent
ALLOWED = 5
NOTICED = (1, 2)
"""Exit codes of pytest: a test failed; the tests could not even be read."""


class ChangedFile(importlib.abc.MetaPathFinder, importlib.abc.InspectLoader):
    """Loads one module from a changed tree and leaves every other to Python."""

    def __init__(self, module: str, path: Path, tree: ast.Module) -> None:
        self.module, self.path, self.tree = module, path, tree

    def find_spec(
        self, name: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        if name != self.module:
            return None
        return importlib.util.spec_from_file_location(name, self.path, loader=self)

    def get_source(self, fullname: str) -> str:
        return self.path.read_text(encoding="utf-8")

    def get_code(self, fullname: str) -> CodeType:
        return compile(self.tree, str(self.path), "exec")


def _run(tests: Sequence[str], finder: ChangedFile | None) -> int:
    """Pytest's exit code in a process of its own."""
    pid = os.fork()
    if pid == 0:
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        if finder is not None:
            sys.meta_path.insert(0, finder)
        try:
            import pytest

            arguments = ["-x", "-c", os.devnull, f"--rootdir={ROOT}", f"--confcutdir={ROOT / 'tests/outside'}"]
            plugins = ["no:cacheprovider", "no:django", "no:randomly", "no:terminal"]
            arguments += ["--import-mode=importlib", *(part for name in plugins for part in ("-p", name))]
            status = int(pytest.main([*arguments, *(str(ROOT / test) for test in tests)]))
        except BaseException:
            status = 3
        os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


@dataclass(frozen=True)
class Figure:
    """One published figure and what became of its changes."""

    target: Target
    constant: Constant
    unnoticed: tuple[str, ...]


def try_figure(target: Target, source: str, constant: Constant) -> Figure:
    """Change one figure up and down."""
    module = target.file.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
    unnoticed = []
    for sign in (1, -1):
        tree, words = changed(source, constant, sign, target.names)
        status = _run(target.tests, ChangedFile(module, ROOT / target.file, tree))
        if status == 0:
            unnoticed.append(words)
        elif status not in NOTICED:
            raise RuntimeError(f"{target.file}:{constant.line}, {words}: pytest ended with {status}.")
    return Figure(target, constant, tuple(unnoticed))


def figures(wanted: str, seconds: float) -> Iterator[Figure]:
    """Every figure of the files whose name has a text in it, until the time is up."""
    end = time.monotonic() + seconds
    for target in TARGETS:
        if wanted not in target.file:
            continue
        if _run(target.tests, None):
            raise RuntimeError(f"{', '.join(target.tests)} fail without any change.")
        source = (ROOT / target.file).read_text(encoding="utf-8")
        for constant in constants(source, target.names):
            if time.monotonic() > end:
                raise TimeoutError(f"More than {seconds:.0f} s: stopped at {target.file}:{constant.line}.")
            yield try_figure(target, source, constant)


def main(argv: Sequence[str]) -> int:
    """Try the figures and say which are noticed by no test."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation", description=__doc__)
    parser.add_argument("--file", default="", help="only files with this in their name")
    parser.add_argument("--seconds", type=float, default=1_800, help="stop after this long")
    asked = parser.parse_args(argv)
    total, missed = 0, 0
    for figure in figures(asked.file, asked.seconds):
        total += 1
        if figure.unnoticed:
            missed += 1
            where = f"{figure.target.file}:{figure.constant.line}"
            sys.stdout.write(f"{where}  {', '.join(figure.unnoticed)}  in  {figure.constant.text}\n")
            sys.stdout.flush()
    sys.stdout.write(f"{total} figures, each a step up and down; {missed} noticed by no test, {ALLOWED} allowed.\n")
    return int(missed > ALLOWED)


if __name__ == "__main__":
    import hypothesis  # noqa: F401  each is read once, before processes are made of this one
    import pytest  # noqa: F401

    sys.path.insert(0, str(ROOT))
    sys.exit(main(sys.argv[1:]))
