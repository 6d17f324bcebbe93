"""Dimensional and billed weight under carriers' dated rules, exactly; the rules are rows for the user to keep."""

from packing.carry.billing import Bill, bill, bill_content
from packing.carry.defaults import SERVICES
from packing.carry.model import Service, Trigger, goes, read_service, service_row, services_on
from packing.carry.surcharges import Flag, Reason, round_side

__all__ = [
    "SERVICES",
    "Bill",
    "Flag",
    "Reason",
    "Service",
    "Trigger",
    "bill",
    "bill_content",
    "goes",
    "read_service",
    "round_side",
    "service_row",
    "services_on",
]
