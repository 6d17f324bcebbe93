"""The papers of a box plan: packing slip, insert cut plan, box cut plan, as PDF."""

from shop.formatting import Units
from shop.papers.context import ItemName, PaperContext, context_from_plan
from shop.papers.render import print_paper, render_html, titles
from shop.papers.storage import NoPlan, render_all, render_papers_files

__all__ = [
    "ItemName",
    "NoPlan",
    "PaperContext",
    "Units",
    "context_from_plan",
    "print_paper",
    "render_all",
    "render_html",
    "render_papers_files",
    "titles",
]
