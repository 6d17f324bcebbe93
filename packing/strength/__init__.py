"""Board grade by published rule: postal table, dense contents, freight, stacking, each shown with its source."""

from packing.strength.boards import BoardChoice, choose_board, grade_plan
from packing.strength.check import Check
from packing.strength.checks import RULES, Graded, grade
from packing.strength.defaults import Tables
from packing.strength.freight import freight_check
from packing.strength.kinds import RuleName, TableKind
from packing.strength.load import Load
from packing.strength.parse import read_grade_line, read_tables
from packing.strength.postal import dense_grade_check, density_check, density_lb_ft2, postal_check
from packing.strength.rows import table_rows
from packing.strength.stacking import derated_lbf, mckee_lbf
from packing.strength.stacking_check import stacking_check

__all__ = [
    "RULES",
    "BoardChoice",
    "Check",
    "Graded",
    "Load",
    "RuleName",
    "TableKind",
    "Tables",
    "choose_board",
    "dense_grade_check",
    "density_check",
    "density_lb_ft2",
    "derated_lbf",
    "freight_check",
    "grade",
    "grade_plan",
    "mckee_lbf",
    "postal_check",
    "read_grade_line",
    "read_tables",
    "stacking_check",
    "table_rows",
]
