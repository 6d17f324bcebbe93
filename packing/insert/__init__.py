"""The insert: the cut sheets that hold the pieces, what is put back over them, and what lifts them out."""

from packing.insert.contact import Contact, contacts
from packing.insert.contact_notes import contact_notes
from packing.insert.heights import with_less_work
from packing.insert.make import make_insert
from packing.insert.model import CutRow, Insert, Lift, Loose, Pocket, Sheet, letter_of
from packing.insert.peaks import peak_notes
from packing.insert.plan import contact_plans, insert_plan
from packing.insert.work import INSERT_MINUTES, insert_work, passes

__all__ = [
    "INSERT_MINUTES",
    "Contact",
    "CutRow",
    "Insert",
    "Lift",
    "Loose",
    "Pocket",
    "Sheet",
    "contact_notes",
    "contact_plans",
    "contacts",
    "insert_plan",
    "insert_work",
    "letter_of",
    "make_insert",
    "passes",
    "peak_notes",
    "with_less_work",
]
