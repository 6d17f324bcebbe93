"""Dimensional and billed weight under carriers' dated rules, exactly; the rules are rows for the user to keep."""

from packing.carry.bill_plan import bill_plan
from packing.carry.billing import Bill, bill
from packing.carry.claims import CLAIM_RULES, ClaimRule, claim_deadline, claim_rule
from packing.carry.defaults import SERVICES
from packing.carry.kinds import Measure, Reach, Rounding, System, TriggerSides
from packing.carry.model import Service, Trigger, goes, services_on
from packing.carry.parse import read_service, service_row
from packing.carry.surcharges import Flag, Reason, round_side
from packing.carry.tariff import SurchargePrice, Tariff, WeightPrice, Zone, charge, tariff_on
from packing.carry.tariff_checks import faults_of
from packing.carry.tariff_file import COLUMNS, RowFault, TariffFile, read_tariffs, write_tariffs

__all__ = [
    "CLAIM_RULES",
    "COLUMNS",
    "SERVICES",
    "Bill",
    "ClaimRule",
    "Flag",
    "Measure",
    "Reach",
    "Reason",
    "Rounding",
    "RowFault",
    "Service",
    "SurchargePrice",
    "System",
    "Tariff",
    "TariffFile",
    "Trigger",
    "TriggerSides",
    "WeightPrice",
    "Zone",
    "bill",
    "bill_plan",
    "charge",
    "claim_deadline",
    "claim_rule",
    "faults_of",
    "goes",
    "read_service",
    "read_tariffs",
    "round_side",
    "service_row",
    "services_on",
    "tariff_on",
    "write_tariffs",
]
