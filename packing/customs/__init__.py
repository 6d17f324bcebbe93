"""Customs data of a parcel that goes abroad: headings proposed, lines and sums checked, which of the posts' forms."""

from packing.customs.declaration import Declaration, DeclarationLine, checked
from packing.customs.forms import CN22_LIMITS, CustomsForm, FormChoice, FormLimit, customs_form, limit_on
from packing.customs.headings import HEADINGS, Heading, propose_heading

__all__ = [
    "CN22_LIMITS",
    "HEADINGS",
    "CustomsForm",
    "Declaration",
    "DeclarationLine",
    "FormChoice",
    "FormLimit",
    "Heading",
    "checked",
    "customs_form",
    "limit_on",
    "propose_heading",
]
