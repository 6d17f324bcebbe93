"""The weigh-in of a closed box: its tolerance, what may be wrong, what the scale cannot see, the shop's own tare."""

from packing.weighing.causes import Cause, CauseKind, Findings, Weighed, likely_causes
from packing.weighing.swaps import UnseenSwap, unseen_swaps
from packing.weighing.tare import EmptyReading, TareFactor, TarePart, sharpened
from packing.weighing.tolerance import SCALE_STEP_MG, Expectation, combined_sd, expectation

__all__ = [
    "SCALE_STEP_MG",
    "Cause",
    "CauseKind",
    "EmptyReading",
    "Expectation",
    "Findings",
    "TareFactor",
    "TarePart",
    "UnseenSwap",
    "Weighed",
    "combined_sd",
    "expectation",
    "likely_causes",
    "sharpened",
    "unseen_swaps",
]
