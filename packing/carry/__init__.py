"""Dimensional and billed weight under carriers' dated rules, exactly; the rules are rows for the user to keep."""

from packing.carry.billing import Bill, Flag, bill, bill_content, round_side
from packing.carry.model import Service, Trigger, read_service, service_row, services_on
from packing.carry.rows import SERVICES

__all__ = [
    "SERVICES",
    "Bill",
    "Flag",
    "Service",
    "Trigger",
    "bill",
    "bill_content",
    "read_service",
    "round_side",
    "service_row",
    "services_on",
]
