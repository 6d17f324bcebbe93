"""The separate checker: reads an order and a plan's content and names every broken rule.

It is slow and plain on purpose, shares nothing with the search and counts everything again from the content's own
numbers, in whole micrometres.
"""

from packing.check.checker import RULES, check_plan
from packing.check.report import Problem

__all__ = ["RULES", "Problem", "check_plan"]
