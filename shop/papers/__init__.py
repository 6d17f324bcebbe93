"""The papers of a box plan: packing slip, insert cut plan, box cut plan, as PDF."""

from shop.papers.context import ItemName, PaperContext, Units, context_from_plan
from shop.papers.filing import NoPlan, render_all, render_papers_files
from shop.papers.setting import print_paper, set_paper, titles

__all__ = [
    "ItemName",
    "NoPlan",
    "PaperContext",
    "Units",
    "context_from_plan",
    "print_paper",
    "render_all",
    "render_papers_files",
    "set_paper",
    "titles",
]
