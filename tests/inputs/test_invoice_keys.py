"""What invoices need of settings and job: every key that does not fit is named with its line."""

from tests.billing._job import CARD
from tests.conftest import Yard

SETTINGS = """
[yard]
name = "Yard"
country = "nl"
electronic_address = "office@yard.example"
[bank_account]
account = "NL61 QQQQ 0123 4567 88"
bank = "QQQQ"
[tax_categories.S]
2026-01-01 = 121
2026-13-01 = 21
[tax_categories.X]
2026-01-01 = 21
[tax_categories.E]
reasons = "Exempt"
[exchange_rates.NOK]
2026-05-29 = 0
"""
JOB = """
[owner]
legal_name = "Owner"
tax_number = "NL123456783B90"
[invoice]
currency = "euro"
payment_days = "30"
tax_category = "T"
tax_rate = 0
"""


def faults(said: str) -> list[str]:
    return [line.split(" ")[1] for line in said.splitlines() if ".toml:" in line]


def test_keys_of_invoices_that_do_not_fit_are_named(yard: Yard) -> None:
    """Country, addresses, account, rates by day, tax number, currency, days and category."""
    yard.run("new")
    said = yard.run("load", "settings", yard.write("settings.toml", SETTINGS), ok=False).stderr
    card = CARD.format(contract_sum="1000.00", terms=JOB)
    of_job = yard.run("load", "job", yard.write("job.toml", card), ok=False).stderr

    assert faults(said) == [
        *("yard.country", "yard.electronic_address", "bank_account.account", "bank_account.bank"),
        *("tax_categories.S.2026-01-01:", "tax_categories.S.2026-13-01:", "unknown"),
        *("tax_categories.E.reasons:", "exchange_rates.NOK.2026-05-29:"),
    ]
    assert faults(of_job) == [
        *("[owner]", "tax_number", "currency", "payment_days", "tax_category", "tax_rate"),
    ]
    assert 'account "NL61 QQQQ 0123 4567 88" is not a valid IBAN; copy it' in said
