"""Foam under a load that lies on it and under one that falls on it, as published rules and curves have it."""

from packing.cushion.curve import CurvePoint, CushionCurve, fit_curve
from packing.cushion.drop import DROP_ROWS, FRAGILITY_G, drop_height_um, fall_depth_um, thickness_um
from packing.cushion.footing import Patch, pressures_pa, static_stress_pa
from packing.cushion.plate import PLY_BENDING_PA, Plate, bending_thickness_um, plate_for, upright_plate

__all__ = [
    "DROP_ROWS",
    "FRAGILITY_G",
    "PLY_BENDING_PA",
    "CurvePoint",
    "CushionCurve",
    "Patch",
    "Plate",
    "bending_thickness_um",
    "drop_height_um",
    "fall_depth_um",
    "fit_curve",
    "plate_for",
    "pressures_pa",
    "static_stress_pa",
    "thickness_um",
    "upright_plate",
]
