"""Foam under a load that lies on it and under one that falls on it, as published rules and curves have it."""

from packing.cushion.curve import CurvePoint, CushionCurve, fit_curve
from packing.cushion.drop import DROP_ROWS, drop_height_um, fall_depth_um, thickness_um
from packing.cushion.footing import Patch, pressures_pa, static_stress_pa

__all__ = [
    "DROP_ROWS",
    "CurvePoint",
    "CushionCurve",
    "Patch",
    "drop_height_um",
    "fall_depth_um",
    "fit_curve",
    "pressures_pa",
    "static_stress_pa",
    "thickness_um",
]
