"""From an order to its box plan: nesting, insert, box, weights and cost, and the choice among alternatives."""

from packing.planning.alternatives import candidate_plan, make_offers, offer_plans, with_taken
from packing.planning.boxing import candidate_for, slotted_candidate
from packing.planning.candidate import Candidate, marked_up
from packing.planning.choice import BoxChoice, choose_box, objective_of
from packing.planning.cost import Cost, CostLine, cost_of, cost_plan
from packing.planning.objective import OBJECTIVES, Score, best, ranked, score
from packing.planning.offers import Offer, Offers, near_equal
from packing.planning.plan import PlanningResult, nesting_candidate, plan_parcel, stock_carton_alternative
from packing.planning.result import (
    centre_of_gravity_um,
    item_plans,
    plan_of,
    refusal_of,
    weight_plan,
)
from packing.planning.split import fewest, split_by_weight
from packing.planning.sundries import SundryLine, usual_sundries
from packing.planning.terms import Billed, Billing, Terms, billing_by
from packing.planning.weight import UncertaintyComponent, Weights, gross_problem, load_of_box, weigh, weigh_design

__all__ = [
    "OBJECTIVES",
    "Billed",
    "Billing",
    "BoxChoice",
    "Candidate",
    "Cost",
    "CostLine",
    "Offer",
    "Offers",
    "PlanningResult",
    "Score",
    "SundryLine",
    "Terms",
    "UncertaintyComponent",
    "Weights",
    "best",
    "billing_by",
    "candidate_for",
    "candidate_plan",
    "centre_of_gravity_um",
    "choose_box",
    "cost_of",
    "cost_plan",
    "fewest",
    "gross_problem",
    "item_plans",
    "load_of_box",
    "make_offers",
    "marked_up",
    "near_equal",
    "nesting_candidate",
    "objective_of",
    "offer_plans",
    "plan_of",
    "plan_parcel",
    "ranked",
    "refusal_of",
    "score",
    "slotted_candidate",
    "split_by_weight",
    "stock_carton_alternative",
    "usual_sundries",
    "weigh",
    "weigh_design",
    "weight_plan",
    "with_taken",
]
