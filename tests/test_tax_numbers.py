"""The form of tax numbers and accounts, with their check digits. All numbers are made up."""

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
        ("XI980780684", "right"),
        ("NO 995 525 828 MVA", "right"),
        ("CHE-116.281.710 MWST", "right"),
        ("CHE-116.281.711 MWST", "wrong"),
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
    [("NL91ABNA0417164300", True), ("NL91ABNA0417164301", False), ("12345678", False)],
)
def test_an_iban_is_checked_by_its_digits(number: str, *, expected: bool) -> None:
    """Two digits that changed places are found."""
    assert is_iban(number) == expected


def test_a_bic_has_eight_or_eleven_characters() -> None:
    """The bank's identifier is looked at by its form."""
    assert [is_bic(each) for each in ("ABNANL2A", "ABNANL2AXXX", "ABNANL2")] == [True, True, False]
