"""Check digits of numbers that parcels bear: those of GS1, and those of the posts' items.

References
----------
GS1 General Specifications, 7.9, "Check digit calculations": weights 3, 1, 3 and so on from the right.
UPU standard S10, "Identification of postal items: 13-character identifier": weights 8 6 4 2 3 5 9 7, modulo 11; from
memory.
"""

import re

S10_WEIGHTS = (8, 6, 4, 2, 3, 5, 9, 7)
_SSCC = re.compile(r"(?:\(00\)|00)([0-9]{18})")
_S10 = re.compile(r"[A-Z]{2}([0-9]{8})([0-9])[A-Z]{2}")


def gs1_check_digit(digits: str) -> int:
    """The last digit of a GS1 number, such as an article's or a parcel's.

    Parameters
    ----------
    digits
        All figures before it: 12 of an article's number, 17 of a parcel's (SSCC).

    Returns
    -------
    int
        0 to 9.

    Raises
    ------
    ValueError
        It is not digits only, or nothing.
    """
    if not (digits.isascii() and digits.isdecimal()):
        raise ValueError(f"a GS1 number is digits only, not {digits!r}")
    # From the right, the figure beside the check digit counts three times.
    total = sum(int(figure) * (3 if place % 2 == 0 else 1) for place, figure in enumerate(reversed(digits)))
    return -total % 10


def s10_check_digit(digits: str) -> int:
    """The last digit of a post's item number, such as RA 473124829 FI.

    Parameters
    ----------
    digits
        The eight figures before it.

    Returns
    -------
    int
        0 to 9.

    Raises
    ------
    ValueError
        It is not eight figures.
    """
    if not (digits.isascii() and digits.isdecimal() and len(digits) == len(S10_WEIGHTS)):
        raise ValueError(f"a post's item number has eight figures before its check digit, not {digits!r}")
    rest = 11 - sum(int(figure) * weight for figure, weight in zip(digits, S10_WEIGHTS, strict=True)) % 11
    return {10: 0, 11: 5}.get(rest, rest)


def mistyped(tracking: str) -> bool:
    """Tell whether a number on a parcel is of a known kind and its check digit is wrong.

    Parameters
    ----------
    tracking
        As typed, spaces and hyphens allowed.

    Returns
    -------
    bool
        False where nothing is known of its kind: most carriers' numbers are their own affair.
    """
    plain = re.sub(r"[\s-]", "", tracking).upper()
    if found := _SSCC.fullmatch(plain):
        number = found.group(1)
        return gs1_check_digit(number[:-1]) != int(number[-1])
    if found := _S10.fullmatch(plain):
        return s10_check_digit(found.group(1)) != int(found.group(2))
    return False
