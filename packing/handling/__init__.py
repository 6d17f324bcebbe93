"""Lifting a parcel: the one rule for what is heavy, and the NIOSH equation for a lift as it is done."""

from packing.handling.heavy import ONE_PERSON, HandlingRule, is_heavy
from packing.handling.niosh import Coupling, Lift, LiftLimit, LiftUnits, lift_limit, read_lift

__all__ = [
    "ONE_PERSON",
    "Coupling",
    "HandlingRule",
    "Lift",
    "LiftLimit",
    "LiftUnits",
    "is_heavy",
    "lift_limit",
    "read_lift",
]
