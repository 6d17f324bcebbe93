"""A choice, not one answer: whole boxes for one order, compared by bill, work, flatness and wood."""

from packing.planning.alternatives import Offer, Offers, candidate_content, make_offers, offers_content
from packing.planning.candidate import Billed, Billing, Candidate, Terms, billing_by, candidate_for
from packing.planning.cost import WORK, Cost, CostLine, Rates, WorkRow, cost_content, cost_of

__all__ = [
    "WORK",
    "Billed",
    "Billing",
    "Candidate",
    "Cost",
    "CostLine",
    "Offer",
    "Offers",
    "Rates",
    "Terms",
    "WorkRow",
    "billing_by",
    "candidate_content",
    "candidate_for",
    "cost_content",
    "cost_of",
    "make_offers",
    "offers_content",
]
