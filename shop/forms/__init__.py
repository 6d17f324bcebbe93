"""Forms: what people type is read once, here; every message names the field, the rule and the value."""

from .customers import CustomerForm
from .cut_files import CutFilesForm
from .fields import CommaDecimalField
from .history import WhyForm
from .orders import LineForm, NewOrderForm, OpenPlace, PlacesForm
from .packing import PackForm
from .people import FirstOwnerForm, MemberForm, OwnUnitsForm, RoleForm, units_of
from .pieces import CorrectNumberForm, MeasureForm, NewPieceForm, RetireForm
from .readings import ReadingForm
from .scale import EmptyBoxForm, WeighInForm
from .shop import BandFormSet, SettingsForm, ShopForm, units_in

__all__ = [
    "BandFormSet",
    "CommaDecimalField",
    "CorrectNumberForm",
    "CustomerForm",
    "CutFilesForm",
    "EmptyBoxForm",
    "FirstOwnerForm",
    "LineForm",
    "MeasureForm",
    "MemberForm",
    "NewOrderForm",
    "NewPieceForm",
    "OpenPlace",
    "OwnUnitsForm",
    "PackForm",
    "PlacesForm",
    "ReadingForm",
    "RetireForm",
    "RoleForm",
    "SettingsForm",
    "ShopForm",
    "WeighInForm",
    "WhyForm",
    "units_in",
    "units_of",
]
