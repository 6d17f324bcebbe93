"""Dimensional and billed weight under carriers' dated rules, exactly; the rules are rows for the user to keep."""

from packing.carry.bill_plan import bill_plan
from packing.carry.billing import Bill, bill
from packing.carry.defaults import SERVICES
from packing.carry.kinds import Measure, Reach, Rounding, System, TriggerSides
from packing.carry.model import Service, Trigger, goes, services_on
from packing.carry.parse import read_service, service_row
from packing.carry.surcharges import Flag, Reason, round_side

__all__ = [
    "SERVICES",
    "Bill",
    "Flag",
    "Measure",
    "Reach",
    "Reason",
    "Rounding",
    "Service",
    "System",
    "Trigger",
    "TriggerSides",
    "bill",
    "bill_plan",
    "goes",
    "read_service",
    "round_side",
    "service_row",
    "services_on",
]
