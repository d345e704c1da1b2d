"""The form of tax numbers and accounts, with their check digits.

Sources: the right numbers of Germany, Greece, Britain, Norway and Switzerland are examples of the
documentation of python-stdnum 2.2; the right IBAN is the example of the Netherlands in SWIFT's IBAN
registry (ISO 13616), from memory. The wrong ones differ from these; all others are made up.
"""

import pytest

from ledger.tax_numbers import is_bic, is_iban, tax_number_form


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        ("NL123456782B90", "right"),
        ("nl 1234.56.782.B90", "right"),
        ("NL123456783B90", "wrong"),
        ("DE136695976", "right"),
        ("DE136695977", "wrong"),
        ("EL094259216", "right"),
        ("GB980780684", "right"),
        ("XI980780684", "right"),  # The same number with the code of Northern Ireland.
        ("NO 995 525 828 MVA", "right"),
        ("CHE-107.787.577 IVA", "right"),
        ("CHE-107.787.578 IVA", "wrong"),
        ("136695976", "wrong"),
        ("NL", "wrong"),
        ("QQ12345", "unknown"),
    ],
)
def test_a_tax_number_has_a_country_and_the_form_of_its_country(number: str, expected: str) -> None:
    """A number without a country is wrong; of a country whose form is not known nothing is said."""
    assert tax_number_form(number) == expected


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        ("NL91ABNA0417164300", True),
        ("NL91ABNA0417164301", False),
        ("NL91ABNA0147164300", False),
        ("12345678", False),
    ],
)
def test_an_iban_is_checked_by_its_digits(number: str, *, expected: bool) -> None:
    """A wrong digit is found, and two that changed places."""
    assert is_iban(number) == expected


def test_a_bic_has_eight_or_eleven_characters() -> None:
    """The bank's identifier is looked at by its form."""
    assert [is_bic(each) for each in ("QQQQNL2A", "QQQQNL2AXXX", "QQQQNL2")] == [True, True, False]
