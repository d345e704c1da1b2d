"""What identifies the parties of an invoice: country, tax number, electronic address, account."""

import re
from collections.abc import Callable

from ledger.domain.currencies import CURRENCIES
from ledger.inputs.job_values import as_written, text
from ledger.tax_numbers import is_bic, is_iban, tax_number_form

# A scheme of the EAS list, and what it names; electronic mail is EM.
_ELECTRONIC = re.compile(r"([0-9]{4}|EM):(\S(?:.*\S)?)")
_IBAN = re.compile("[A-Z]{2}[0-9]{2}[A-Z0-9]{10,30}")


def country(value: object) -> str:
    code = text(value)
    if not re.fullmatch("[A-Z]{2}", code):
        raise ValueError(f"{as_written(value)} is not a country code; write two capitals, as NL")
    return code


def currency(value: object) -> str:
    code = text(value)
    if code not in CURRENCIES:
        raise ValueError(f"{as_written(value)} is not a currency code of ISO 4217; write it as EUR")
    return code


def tax_number(value: object) -> str:
    """Return a number of value added tax, with its country before it."""
    number = text(value)
    if tax_number_form(number) == "wrong":
        raise ValueError(
            f"{as_written(value)} is not a valid tax number; write it with its country code before "
            "it, as on the tax office's letter"
        )
    return number


def electronic_address(value: object) -> str:
    """Return where a party takes electronic invoices: scheme, colon, identifier."""
    address = text(value)
    if not _ELECTRONIC.fullmatch(address):
        raise ValueError(
            f"{as_written(value)} is not an electronic address; write its scheme of the EAS list "
            'before it, as "0088:4035811991021" or "EM:office@yard.example"'
        )
    return address


def account(value: object) -> str:
    """Return an account; one that looks like an IBAN must be one."""
    number = text(value)
    plain = "".join(number.split())
    if _IBAN.fullmatch(plain) and not is_iban(plain):
        what = "is not a valid IBAN; copy it from the bank's letter"
        raise ValueError(f"{as_written(value)} {what}")
    return number


def bank(value: object) -> str:
    identifier = text(value)
    if not is_bic(identifier):
        what = "is not a valid BIC; copy it from the bank's letter"
        raise ValueError(f"{as_written(value)} {what}")
    return identifier


def fault_by(check: Callable[[object], str]) -> Callable[[str], str | None]:
    """Return what says what is wrong with a setting; a blank one says that there is none."""

    def fault(value: str) -> str | None:
        try:
            check(value) if value else None
        except ValueError as error:
            return str(error)
        return None

    return fault
