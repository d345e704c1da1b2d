"""All that is wrong with an invoice before it is made, numbers of tax offices and banks too."""

from collections.abc import Iterator

from ledger.domain.invoice_checks import faults
from ledger.domain.invoices import Invoice
from ledger.errors import Refused
from ledger.tax_numbers import is_bic, is_iban, tax_number_form


def refuse_faulty(invoice: Invoice) -> None:
    """Raise Refused with all that is wrong with the invoice."""
    if all_faults := (*faults(invoice), *_about_numbers(invoice)):
        raise Refused(
            "invoice_faulty", document=invoice.kind, number=invoice.number, faults=all_faults
        )


def _about_numbers(invoice: Invoice) -> Iterator[Refused]:
    """Yield each number whose form or check digits are wrong."""
    for role, party in (("seller", invoice.seller), ("buyer", invoice.buyer)):
        if party.tax_number and tax_number_form(party.tax_number) == "wrong":
            yield Refused("invoice_tax_number_wrong", party=role, number=party.tax_number)
    payment = invoice.payment
    if payment.is_iban and not is_iban(payment.number):
        yield Refused("invoice_account_wrong", account=payment.account)
    if payment.bank and not is_bic(payment.bank):
        yield Refused("invoice_bank_wrong", bank=payment.bank)
