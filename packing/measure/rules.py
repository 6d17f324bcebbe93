"""The rules of a plan: one table of names, kinds, ranges, defaults, meanings and the checker's rules.

A rule is a field of `Rules`, and its line there is all there is to say of it: files are read and written, tables, forms
and tests are made from `RULES`. What honours a rule is the search, its lower bound and the insert; what holds plans to
it is `packing.check`, which reads order files' rules through here and plans by itself.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from enum import StrEnum
from typing import Any, TypeVar

from packing.measure.errors import BadInput
from packing.measure.step import Step
from packing.measure.values import (
    LONGEST_UM,
    grams,
    mm,
    read_flag,
    read_length_um,
    read_weight_mg,
    refuse_unknown,
    shown,
)

ROOMY_UM = 10**8
"""A largest interior may be a room: only what no drawing could show is refused."""
T = TypeVar("T")


class RuleKind(StrEnum):
    """The kind of a rule's value."""

    LENGTH = "length"
    THICKNESSES = "thicknesses"
    SIZE = "size"
    WEIGHT = "weight"
    FLAG = "yes or no"
    STEP = "step"


class RuleScope(StrEnum):
    """The place where a shop sets a rule: for every order, by the heaviest head, or nowhere: order files alone may."""

    EVERY_ORDER = "every order"
    BY_HEAD = "by head"
    FILE = "file"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of a plan.

    Parameters
    ----------
    field, kind
        The field of `Rules`, and what it holds.
    meaning
        What it asks for, as a file's reader is told; lengths in mm, weights in g.
    label, help, example_mm, example_in
        How settings call it, and a word more on it, there, with an example in the reader's unit for its `%(example)s`;
        "" where they do not ask for it.
    checked_by
        Rules of `packing.check` that a plan breaks which does not keep it.
    scope
        Where a shop sets it.
    zero, most_um
        Of a length: whether 0 is one, and the longest.
    optional
        Whether it is off where it is not said.
    """

    field: str
    kind: RuleKind
    meaning: str
    checked_by: tuple[str, ...]
    label: str
    help: str = ""
    example_mm: str = ""
    example_in: str = ""
    scope: RuleScope = RuleScope.EVERY_ORDER
    zero: bool = False
    most_um: int = LONGEST_UM
    optional: bool = False

    @property
    def name(self) -> str:
        """Its key in a file: `max_gross_mg` is `max_gross_g` there, `wall_um` is `wall`."""
        name = self.field.removesuffix("_um")
        return name.removesuffix("_mg") + "_g" if name.endswith("_mg") else name


def _rule(default: T, kind: RuleKind, meaning: str, **more: Any) -> T:
    """A field of `Rules` with its default and all there is to say of it."""
    said = {"kind": kind, "meaning": meaning, "optional": default is None, **more}
    found: T = field(default=default, metadata=said)
    return found


@dataclass(frozen=True, slots=True)
class Rules:
    """The rules of a plan, in micrometres and milligrams; `RULES` says what each means."""

    clearance_um: int = _rule(
        1_500,
        RuleKind.LENGTH,
        "room kept around a part on each side, mm",
        label="clearance",
        help="Room kept around a part on each side.",
        checked_by=("pocket", "wall", "web"),
        zero=True,
    )
    web_um: int = _rule(
        20_000,
        RuleKind.LENGTH,
        "least material between the pockets of different items in one layer, mm along x or y",
        label="web",
        checked_by=("web",),
        scope=RuleScope.BY_HEAD,
        zero=True,
    )
    wall_um: int = _rule(
        25_000,
        RuleKind.LENGTH,
        "least material from a pocket to the insert's edge, mm",
        label="wall",
        checked_by=("wall",),
        scope=RuleScope.BY_HEAD,
        zero=True,
    )
    base_pad_um: int = _rule(
        25_000,
        RuleKind.LENGTH,
        "thickness under the lowest layer, mm",
        label="base pad",
        checked_by=("base_pad",),
        scope=RuleScope.BY_HEAD,
        zero=True,
    )
    layer_pad_um: int = _rule(
        12_000,
        RuleKind.LENGTH,
        "thickness between layers, mm",
        label="pad between layers",
        help="Any thickness from 0.",
        checked_by=("layer_pad",),
        zero=True,
    )
    top_pad_um: int = _rule(
        25_000,
        RuleKind.LENGTH,
        "thickness over the highest layer, mm",
        label="top pad",
        help="Thickness over the highest layer.",
        checked_by=("top_pad",),
        zero=True,
    )
    sheets_um: tuple[int, ...] = _rule(
        (12_000, 25_000, 50_000),
        RuleKind.THICKNESSES,
        "stock thicknesses, mm",
        label="stock sheets",
        help="Measured thicknesses, such as %(example)s.",
        example_mm="12, 25, 50",
        example_in="1/2, 1, 2",
        checked_by=("sheets", "layer_height"),
    )
    layer_spare_um: int = _rule(
        0,
        RuleKind.LENGTH,
        "how much higher than needed a layer may be where that saves sheets, mm",
        label="layer higher than needed",
        help="Where that saves sheets to cut and glue, such as %(example)s. 0: never.",
        example_mm="6",
        example_in="1/4",
        checked_by=("layer_height",),
        zero=True,
    )
    max_interior_um: tuple[int, int, int] | None = _rule(
        None,
        RuleKind.SIZE,
        "largest interior, mm: length, width, height; the plan may be turned to fit",
        label="largest insert",
        help="Length, width and height, such as %(example)s. Empty: any size.",
        example_mm="900, 400, 300",
        example_in="36, 16, 12",
        checked_by=("max_interior",),
        most_um=ROOMY_UM,
    )
    max_gross_mg: int | None = _rule(
        None,
        RuleKind.WEIGHT,
        "heaviest gross weight, g",
        label="heaviest closed box",
        help="What one person lifts, such as 16 kg or 35 lb. Empty: any weight.",
        checked_by=("max_gross",),
    )
    layered: bool = _rule(
        True,
        RuleKind.FLAG,
        "false: blocks only, standing on each other freely",
        label="",
        checked_by=("layer",),
        scope=RuleScope.FILE,
    )
    sharp_wall_um: int | None = _rule(
        None,
        RuleKind.LENGTH,
        "least material from the pocket of a lying head's sharp end to the insert's edge, mm",
        label="wall at a sharp end",
        help="Least material between a lying edge and the insert’s side. Empty: as every wall.",
        checked_by=("sharp_wall",),
        zero=True,
    )
    max_layer_mg: int | None = _rule(
        None,
        RuleKind.WEIGHT,
        "heaviest weight of the pieces in one layer, g",
        label="heaviest layer",
        help="All pieces of a layer together, such as 6 kg or 13 lb. Empty: any weight.",
        checked_by=("max_layer",),
    )
    stiff_sheet_um: int | None = _rule(
        None,
        RuleKind.LENGTH,
        "thickness of a stiff sheet, such as plywood, on top of each pad between layers, mm",
        label="stiff sheet between layers",
        help="Plywood on top of each pad between layers, such as %(example)s, so that no head sinks into a pocket "
        "below; part of the pad’s thickness. Empty: foam alone.",
        example_mm="6",
        example_in="1/4",
        checked_by=("stiff_sheet",),
    )
    bite_um: int | None = _rule(
        None,
        RuleKind.LENGTH,
        "how far foam gives under steel, mm: a sheet entered by no more than that stays whole",
        label="how far foam gives",
        help="Under steel, such as %(example)s for soft plank: a sheet entered by no more than that stays whole. "
        "Empty: it does not give.",
        example_mm="1.5",
        example_in="1/16",
        checked_by=("pocket", "cover", "layer_height"),
        zero=True,
    )
    thin_um: tuple[int, ...] | None = _rule(
        None,
        RuleKind.THICKNESSES,
        "thicknesses of thin stock for fills and rests, mm; it may serve in a layer too",
        label="thin sheets",
        help="Measured thicknesses, such as %(example)s: they close what stays open over a head and carry a handle "
        "near its butt. Empty: waste of the pockets is sliced for that.",
        example_mm="3, 6",
        example_in="1/8, 1/4",
        checked_by=("fill", "rest", "sheets"),
    )
    slices: bool | None = _rule(
        None,
        RuleKind.FLAG,
        "whether slices may be cut from a pocket's waste; true where no thin stock is named",
        label="slices of waste",
        help="Whether slices may be cut from a pocket’s waste. As usual: only where no thin sheets are named.",
        checked_by=("slice",),
    )
    plates: bool | None = _rule(
        None,
        RuleKind.FLAG,
        "whether plates of plywood stand between steel and the foam beside it where that is pressed with too much",
        label="plates where foam is pressed too hard",
        help="Whether plates of plywood stand between steel and the foam beside it where the foam is pressed with more "
        "than it is meant for. Off: the plan only warns.",
        checked_by=("plate",),
    )
    step: Step | None = _rule(  # noqa: RUF009 -- a field, as those above; an enumeration's member cannot change
        None,
        RuleKind.STEP,
        'what the insert\'s length and width and the pieces of a box are rounded up to: "1 mm" or "1/16 in"',
        label="step of planned sizes",
        help="The insert’s length and width and the pieces of boxes are rounded up to it. Empty: any size.",
        checked_by=("interior",),
    )

    @property
    def give_um(self) -> int:
        """The depth to which steel may sink into foam: `bite_um`, 0 where the order does not say."""
        return self.bite_um or 0

    @property
    def slices_allowed(self) -> bool:
        """True where slices of a pocket's waste may be cut: as the order says, else where no thin stock is named."""
        return self.thin_um is None if self.slices is None else self.slices


RULES: dict[str, Rule] = {rule.name: rule for rule in (Rule(field=one.name, **one.metadata) for one in fields(Rules))}
"""Every rule by its name in a file."""


def rules_content(rules: Rules) -> dict[str, Any]:
    """Write rules as an order file has them.

    Parameters
    ----------
    rules
        As read.

    Returns
    -------
    dict
        Every rule that is in force, lengths in mm and weights in g.
    """
    values = {name: getattr(rules, rule.field) for name, rule in RULES.items()}
    return {name: _written(value, RULES[name].kind) for name, value in values.items() if value is not None}


def read_rules(content: Mapping[str, Any]) -> Rules:
    """Read the rules of an order file.

    Parameters
    ----------
    content
        By name, lengths in mm and weights in g; a rule that is not there has its default.

    Returns
    -------
    Rules

    Raises
    ------
    BadInput
        A rule that is not known, of the wrong type or out of its range, or two that contradict each other.
    """
    refuse_unknown(content, tuple(RULES), "rules")
    values = {}
    for name, rule in RULES.items():
        if name in content and not (rule.optional and content[name] is None):
            values[rule.field] = _READERS[rule.kind](content[name], f"rules.{name}", rule)
    rules = Rules(**values)
    _refuse_contradictions(rules)
    return rules


def _written(value: Any, kind: RuleKind) -> Any:
    if kind is RuleKind.FLAG:
        return value
    if kind is RuleKind.STEP:
        return value.value
    if kind is RuleKind.WEIGHT:
        return grams(value)
    return [mm(one) for one in value] if isinstance(value, tuple) else mm(value)


def _length(value: Any, field: str, rule: Rule) -> int:
    return read_length_um(value, field, zero=rule.zero, limit_um=rule.most_um)


def _thicknesses(value: Any, field: str, rule: Rule) -> tuple[int, ...]:
    if not isinstance(value, Sequence) or isinstance(value, str):
        raise BadInput(field, f"must be a list of thicknesses in mm, not {shown(value)}.")
    if not value:
        raise BadInput(field, "must name at least one thickness; there are no sheets to build from.")
    return tuple(sorted({_length(one, f"{field}[{index}]", rule) for index, one in enumerate(value)}))


def _size(value: Any, field: str, rule: Rule) -> tuple[int, ...]:
    if not isinstance(value, Sequence) or isinstance(value, str) or len(value) != 3:
        raise BadInput(field, f"must be three lengths in mm, [length, width, height], not {shown(value)}.")
    return tuple(_length(one, f"{field}[{index}]", rule) for index, one in enumerate(value))


def _step(value: Any, field: str) -> Step:
    if value not in tuple(Step):
        raise BadInput(field, f"must be one of {', '.join(f'“{step}”' for step in Step)}, not {shown(value)}.")
    return Step(value)


_READERS: dict[RuleKind, Callable[[Any, str, Rule], Any]] = {
    RuleKind.LENGTH: _length,
    RuleKind.THICKNESSES: _thicknesses,
    RuleKind.SIZE: _size,
    RuleKind.WEIGHT: lambda value, field, _rule: read_weight_mg(value, field),
    RuleKind.FLAG: lambda value, field, _rule: read_flag(value, field),
    RuleKind.STEP: lambda value, field, _rule: _step(value, field),
}


def _refuse_contradictions(rules: Rules) -> None:
    """Raise BadInput where one rule does not leave room for another."""
    thinnest_um = min(rules.sheets_um)
    if rules.bite_um is not None and rules.bite_um >= thinnest_um:
        sentence = f"must be less than the thinnest of sheets, {mm(thinnest_um)} mm, not {mm(rules.bite_um)} mm."
        raise BadInput("rules.bite", sentence)
    if rules.slices is False and rules.thin_um is None:
        raise BadInput("rules.slices", "false needs thin stock to fill gaps with; rules.thin is missing.")
    if rules.stiff_sheet_um is not None and rules.stiff_sheet_um > rules.layer_pad_um:
        stiff, pad = mm(rules.stiff_sheet_um), mm(rules.layer_pad_um)
        raise BadInput("rules.stiff_sheet", f"{stiff} mm is thicker than layer_pad, {pad} mm, that holds it.")
