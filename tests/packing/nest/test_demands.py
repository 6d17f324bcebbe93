"""What rules ask of a nesting is read in one module."""

import ast
from pathlib import Path

import packing.nest
from packing.measure import Rules
from packing.nest.demands import Demands


def test_no_other_module_of_the_nesting_looks_into_the_rules() -> None:
    folder = Path(packing.nest.__file__).parent
    looks = [
        f"{path.relative_to(folder)}:{node.lineno}"
        for path in sorted(folder.rglob("*.py"))
        if path.name != "demands.py"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and ast.unparse(node.value).split(".")[-1] == "rules"
    ]
    assert looks == []


def test_a_web_of_an_odd_number_of_micrometres_is_shared_by_both_neighbours() -> None:
    """Each brings along half, the odd one left out, and the sides take it off again."""
    demands = Demands(Rules(web_um=20_001, wall_um=25_000, clearance_um=1_500))
    assert (demands.grown_um, demands.edge_um, demands.side_um) == (11_500, 26_500, 30_000)
