"""What is stamped on a tool, as it is typed or scanned."""

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shop.forms.stamps import Stamp, StampField, read_stamp


@pytest.mark.parametrize(
    ("text", "stamp"),
    [
        ("7", Stamp("", 7)),
        (" 007 ", Stamp("", 7)),
        ("#7", Stamp("", 7)),
        ("CH125-007", Stamp("CH125", 7)),
        ("ch125 – 7", Stamp("CH125", 7)),
        ("CH125 #7", Stamp("CH125", 7)),
        ("A1.5/12", Stamp("A1.5", 12)),
        ("125-7", Stamp("125", 7)),
    ],
)
def test_a_stamp_is_read(text: Any, stamp: Any) -> None:
    assert read_stamp(text) == stamp


@pytest.mark.parametrize("text", ["", "seven", "CH125", "7.5", "-7", "CH125-", "7 8 9", "CH125-7b", "٧"])
def test_what_is_no_stamp_is_not_read(text: Any) -> None:
    assert read_stamp(text) is None


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("seven", "“seven” is not a number as stamped"),
        ("0", "A number is from 1 to 99999, not 0."),
        ("CH125-100000", "A number is from 1 to 99999, not CH125-100000."),
    ],
)
def test_a_field_names_what_is_wrong_with_a_stamp(text: Any, sentence: Any) -> None:
    with pytest.raises(ValidationError, match=sentence):
        StampField().clean(text)


def test_a_stamp_is_called_as_its_piece_is() -> None:
    assert Stamp("CH125", 7).label == "CH125-007"


def test_a_number_alone_may_be_of_any_product() -> None:
    assert Stamp("", 7).is_of("CH125")
    assert Stamp("CH125", 7).is_of("CH125")
    assert not Stamp("SP080", 7).is_of("CH125")
