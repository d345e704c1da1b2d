"""job.toml: the owner's particulars, and what the owner's accountant wants on an invoice."""

import json
from typing import Any

from ledger.domain.parsing import parse_name
from ledger.domain.tax_categories import CATEGORIES
from ledger.inputs import party_values
from ledger.inputs.job_tables import keys_of, missing_in, table
from ledger.inputs.job_values import Check, as_written, count_of_days, number_text, one_of, text
from ledger.inputs.small_files import Row
from ledger.inputs.tax_settings import rate_of
from ledger.tables.toml_keys import TomlFile

OWNER, INVOICE = "owner", "invoice"
OF_THE_OWNER = (
    *("legal_name", "address", "postcode", "city", "region", "country"),
    *("tax_number", "registration", "electronic_address"),
)
OF_THE_INVOICE = (
    *("purchase_order", "buyer_reference", "contract_reference", "deliver_to_country"),
    *("currency", "payment_days", "tax_category", "tax_rate", "tax_reason", "tax_reason_code"),
)


def invoice_row(file: TomlFile, job: Row) -> Row:
    """Return who is invoiced and how, as it is kept; what does not fit is a fault of the file."""
    terms = table(file, job, INVOICE, OF_THE_INVOICE, CHECKS)
    return {"owner_party": _kept(_owner(file)), "invoice": _kept(terms)}


def _kept(read: dict[str, Any]) -> str:
    return json.dumps(read, ensure_ascii=False)


def _owner(file: TomlFile) -> Row:
    """Return the table [owner]; `owner` of [job] is the name by which the job knows them."""
    owner = file.tables.get(OWNER)
    if owner is None:
        return {}
    if not isinstance(owner, dict):
        file.fault((OWNER,), "owner is not a table; write [owner], or put the name under [job]")
        return {}
    missing_in(file, (OWNER,), owner, ("country",), "[owner]")
    return keys_of(file, (OWNER,), owner, OF_THE_OWNER, CHECKS)


def _lines(value: object) -> list[str]:
    if not isinstance(value, list) or not all(isinstance(line, str) for line in value):
        raise ValueError(f'{as_written(value)} is not a list of lines; write ["Quay 1"]')
    return [parse_name(line) for line in value]


CHECKS: dict[str, Check] = {
    "legal_name": text,
    "address": _lines,
    "postcode": text,
    "city": text,
    "region": text,
    "country": party_values.country,
    "tax_number": party_values.tax_number,
    "registration": text,
    "electronic_address": party_values.electronic_address,
    "purchase_order": text,
    "buyer_reference": text,
    "contract_reference": text,
    "deliver_to_country": party_values.country,
    "currency": party_values.currency,
    "payment_days": count_of_days,
    "tax_category": one_of(*CATEGORIES),
    "tax_rate": lambda value: rate_of(number_text(value)),
    "tax_reason": text,
    "tax_reason_code": text,
}
