"""Sentences as plain JSON values: a text where nothing is named in it, else the template and what it speaks of."""

from decimal import Decimal
from typing import Any

from packing.measure import mm
from packing.messages import (
    Count,
    Figure,
    Length,
    Message,
    Name,
    Percent,
    Quantity,
    Run,
    Series,
    Sides,
    Term,
    Weight,
    verbatim,
)
from packing.plan.scaling import from_file


def message_to_json(message: Message) -> Any:
    """Write a sentence as plain JSON values.

    Parameters
    ----------
    message
        With its quantities.

    Returns
    -------
    str or dict
        A text where nothing is named in it, else its template and what it speaks of.
    """
    # Plain text where nothing is named, so that a file stays readable for people.
    if not message.quantities:
        return message.template.replace("{{", "{").replace("}}", "}")
    return {
        "template": message.template,
        "quantities": {name: _quantity_to_json(value) for name, value in message.quantities.items()},
    }


def message_from_json(content: Any) -> Message:
    """Read a sentence as `message_to_json` writes it.

    Parameters
    ----------
    content
        A text, or a template with its quantities.

    Returns
    -------
    Message

    Raises
    ------
    ValueError
        It is neither.
    """
    if isinstance(content, str):
        return verbatim(content)
    match content:
        case {"template": str(template)}:
            named = content.get("quantities", {})
            return Message(template, **{str(name): _quantity_from_json(value) for name, value in named.items()})
    raise ValueError(f"a sentence must be a text or a template with its quantities, not {content!r}")


def _quantity_to_json(value: Quantity) -> Any:
    match value:
        case Length(um):
            return {"length_mm": mm(um)}
        case Run(um):
            return {"run_mm": mm(um)}
        case Sides(sides):
            return {"sides_mm": [mm(side) for side in sides]}
        case Weight(mg):
            return {"weight_g": mm(mg)}
        case Count(number):
            return {"count": number}
        case Percent(number):
            return {"percent": str(number)}
        case Figure(text, unit):
            return {"figure": text, "unit": unit}
        case Name(text):
            return {"name": text}
        case Term(key):
            return {"term": key}
        case Series(parts, separator):
            return {"series": [_quantity_to_json(part) for part in parts], "separator": separator}
        case Message():
            return {"sentence": message_to_json(value)}


def _quantity_from_json(content: Any) -> Quantity:
    match content:
        case {"length_mm": value}:
            return Length(from_file(value))
        case {"run_mm": value}:
            return Run(from_file(value))
        case {"sides_mm": [*values]}:
            return Sides(tuple(from_file(value) for value in values))
        case {"weight_g": value}:
            return Weight(from_file(value))
        case {"count": int(number)}:
            return Count(number)
        case {"percent": str(number)}:
            return Percent(Decimal(number))
        case {"figure": str(text), "unit": str(unit)}:
            return Figure(text, unit)
        case {"name": str(text)}:
            return Name(text)
        case {"term": str(key)}:
            return Term(key)
        case {"series": [*parts], "separator": str(separator)}:
            return Series(tuple(_quantity_from_json(part) for part in parts), separator)
        case {"sentence": sentence}:
            return message_from_json(sentence)
    raise ValueError(f"a sentence speaks of {content!r}, which is no quantity")
