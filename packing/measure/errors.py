"""The base of all errors that people are told of, and bad input."""

from collections.abc import Mapping
from typing import ClassVar

from packing.messages import Message, verbatim


class PackingError(Exception):
    """Base of the errors that a person is told of; the message is a sentence for them.

    `code` is for programs, a word a kind of error; `fields` has a sentence for each field at fault, by its path.
    """

    code: ClassVar[str] = "refused"

    def __init__(self, message: str = "", fields: Mapping[str, str] | None = None) -> None:
        super().__init__(message)
        self.fields = dict(fields or {})


class BadInput(PackingError):
    """An order that cannot be taken; the message names the field, the rule and the value.

    Parameters
    ----------
    field
        Path of the field, such as ``items[2].head_length``.
    message
        One sentence for the person who typed it; `sentence` has its quantities, `message` is plain English.
    """

    code = "invalid"

    def __init__(self, field: str, message: str | Message) -> None:
        self.field = field
        self.sentence = verbatim(message) if isinstance(message, str) else message
        self.message = str(self.sentence)
        super().__init__(f"{field}: {self.message}", {field: self.message})
