"""The papers of a box plan: packing slip, insert cut plan, box cut plan, as PDF."""

from shop.papers.context import ItemName, PaperContext, Units, context_from_plan
from shop.papers.filing import NoPlan, render_all, render_papers_files
from shop.papers.press import ForeignAddress, Print
from shop.papers.setting import print_paper, set_paper, titles

__all__ = [
    "ForeignAddress",
    "ItemName",
    "NoPlan",
    "PaperContext",
    "Print",
    "Units",
    "context_from_plan",
    "print_paper",
    "render_all",
    "render_papers_files",
    "set_paper",
    "titles",
]
