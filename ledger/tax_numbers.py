"""Numbers that a tax office or a bank gives out: whether their form and check digits are right.

That a number is well formed does not say that it was given out, or to whom: that the tax office or
the bank tells.
"""

import re
from functools import cache
from typing import Any, Literal

Form = Literal["right", "wrong", "unknown"]
PREFIXED = re.compile("([A-Z]{2})[A-Z0-9]{2,}")
APART = re.compile(r"[\s.\-]")


def tax_number_form(number: str) -> Form:
    """Return whether a tax number, with its country before it, is well formed.

    "unknown" where the country's form is not known here.
    """
    whole = APART.sub("", number).upper()
    match = PREFIXED.fullmatch(whole)
    if match is None:
        return "wrong"
    module = _module(match[1])
    if module is None:
        return "unknown"
    well_formed = module.is_valid(whole) or module.is_valid(whole[2:])
    return "right" if well_formed else "wrong"


def is_iban(number: str) -> bool:
    """Return whether an account number is a well formed IBAN (ISO 13616)."""
    from stdnum import iban

    return bool(iban.is_valid(number))


def is_bic(identifier: str) -> bool:
    """Return whether a bank's identifier is a well formed BIC (ISO 9362)."""
    from stdnum import bic

    return bool(bic.is_valid(identifier))


@cache
def _module(country: str) -> Any:
    """Return what knows the form of a country's tax numbers, None where nothing does."""
    from stdnum import get_cc_module
    from stdnum.eu import vat

    if {"EL": "gr"}.get(country, country.lower()) in vat.MEMBER_STATES:
        return vat
    return get_cc_module(country.lower(), "vat")
