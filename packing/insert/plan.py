"""The insert as a part of the plan."""

from collections.abc import Sequence

from packing.insert.contact import Contact
from packing.insert.model import CutRow, Insert, Lift, Loose, Pocket, Sheet, StandingPlate, letter_of
from packing.plan import ContactPlan, CutRowPlan, InsertPlan, LiftPlan, LoosePlan, PocketPlan, SheetPlan


def insert_plan(insert: Insert) -> InsertPlan:
    """The insert as drawings, papers and screens read it.

    Parameters
    ----------
    insert
        As `make_insert` gives it.

    Returns
    -------
    InsertPlan
        In whole micrometres and milligrams. The insert's notes belong among the plan's.
    """
    return InsertPlan(
        material=insert.foam.name,
        density_g_m3=insert.foam.density_g_m3,
        weight_mg=insert.weight_mg,
        fit_um=insert.fit_um,
        sheets=tuple(_sheet(sheet, insert) for sheet in insert.sheets),
        saddles=tuple(_loose(saddle, insert) for saddle in insert.saddles),
        plugs=tuple(_loose(plug, insert) for plug in insert.plugs),
        fills=tuple(_loose(fill, insert) for fill in insert.fills),
        rests=tuple(_loose(rest, insert) for rest in insert.rests),
        lifts=tuple(_lift(lift, insert) for lift in insert.lifts),
        cut_list=tuple(_cut_row(row) for row in insert.cut_list),
        cut_length_um=insert.cut_um,
        pocketed_sheets=insert.pocketed_sheets,
        butt_air_um=insert.butt_air_um,
        grip_um=insert.grip_um,
        plates=tuple(_plate(plate, insert) for plate in insert.plates),
    )


def _sheet(sheet: Sheet, insert: Insert) -> SheetPlan:
    return SheetPlan(
        id=sheet.id,
        role=sheet.role,
        layer=sheet.layer,
        thickness_um=sheet.thickness_um,
        stock=sheet.stock,
        floor_um=sheet.floor_um,
        size_um=insert.size_um,
        pockets=tuple(_pocket(pocket, insert) for pocket in sheet.pockets),
        material=sheet.material.name if sheet.material else None,
        density_g_m3=sheet.material.density_g_m3 if sheet.material else None,
        over=tuple(letter_of(item) for item in sheet.over),
        grip=sheet.grip,
    )


def _pocket(pocket: Pocket, insert: Insert) -> PocketPlan:
    x0, y0, x1, y1 = pocket.rect
    return PocketPlan(
        insert.item_ids[pocket.item],
        letter_of(pocket.item),
        pocket.part,
        (x0, y0),
        (x1, y1),
        pocket.outline,
        pocket.traced,
    )


def _loose(loose: Loose, insert: Insert) -> LoosePlan:
    x0, y0, x1, y1 = loose.rect
    return LoosePlan(
        id=loose.id,
        item=insert.item_ids[loose.item],
        letter=letter_of(loose.item),
        part=loose.part,
        layer=loose.layer,
        min_um=(x0, y0, loose.z0_um),
        max_um=(x1, y1, loose.z1_um),
        weight_mg=loose.weight_mg,
        from_sheets=(loose.sheet,) if loose.sheet else (),
        thicknesses_um=loose.thicknesses_um,
        grip_um=loose.grip_um,
    )


def _plate(plate: StandingPlate, insert: Insert) -> LoosePlan:
    x0, y0, x1, y1 = plate.rect
    return LoosePlan(
        id=plate.id,
        item=insert.item_ids[plate.item],
        letter=letter_of(plate.item),
        part=plate.part,
        layer=plate.layer,
        min_um=(x0, y0, plate.z0_um),
        max_um=(x1, y1, plate.z1_um),
        weight_mg=plate.weight_mg,
        thicknesses_um=(plate.thickness_um,),
    )


def _lift(lift: Lift, insert: Insert) -> LiftPlan:
    piece = (insert.item_ids[lift.item], letter_of(lift.item), lift.kind, lift.layer)
    # A notch is a place in the sheets; a tape is a loose strip, which has a length and a direction alone.
    if lift.rect:
        x0, y0, x1, y1 = lift.rect
        return LiftPlan(*piece, min_um=(x0, y0), max_um=(x1, y1))
    return LiftPlan(*piece, length_um=lift.length_um, along=lift.along, weight_mg=lift.weight_mg)


def _cut_row(row: CutRow) -> CutRowPlan:
    return CutRowPlan(row.what, row.ids, row.thickness_um, row.size_um, row.count, row.source)


def contact_plans(found: Sequence[Contact]) -> tuple[ContactPlan, ...]:
    """Turn contacts into a part of the plan.

    Parameters
    ----------
    found
        Contacts; stress in pascals, thickness in micrometres.

    Returns
    -------
    tuple of ContactPlan
    """
    return tuple(
        ContactPlan(
            letter_of(one.item),
            one.side,
            one.stress_pa,
            one.thickness_um,
            one.needed_um,
            one.verdict,
            None if one.plate is None else (one.plate.length_um, one.plate.width_um, one.plate.thickness_um),
            one.laid,
        )
        for one in found
    )
