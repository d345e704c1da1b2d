"""An invoice as XML: UBL 2.1, or the Cross Industry Invoice that Factur-X embeds."""

from collections.abc import Iterator

from ledger.domain.invoices import Invoice, totals
from ledger.reports.canonical import decimal_text
from ledger.reports.environment import environment
from ledger.reports.templates import gather
from ledger.tax_numbers import APART

PROFILE = "urn:cen.eu:en16931:2017"  # The specification a file keeps to (BT-24).


def ubl(invoice: Invoice) -> bytes:
    """Return the invoice or credit note as UBL 2.1 (ISO/IEC 19845); same invoice, same bytes."""
    return _made("invoice_ubl.xml", invoice)


def cii(invoice: Invoice) -> bytes:
    """Return the invoice or credit note as a Cross Industry Invoice; same invoice, same bytes."""
    return _made("invoice_cii.xml", invoice)


def _made(template: str, invoice: Invoice) -> bytes:
    used = environment(gather(template).load)
    used.filters |= {"plain": decimal_text, "line": one_line, "compact": compact}
    facts = {"invoice": invoice, "totals": totals(invoice), "profile": PROFILE}
    text = used.get_template(template).render(facts)
    lines = (line.strip() for line in text.split("\n"))
    return "".join(f"{line}\n" for line in _indented(filter(None, lines))).encode("utf-8")


def one_line(text: str) -> str:
    """Return the text without line ends and the spaces around it."""
    return " ".join(text.split())


def compact(number: str) -> str:
    """Return a tax number without what sets its digits apart."""
    return APART.sub("", number)


def _indented(lines: Iterator[str]) -> Iterator[str]:
    """Yield each line as deep as its element lies; no template has an empty-element tag."""
    depth = 0
    for line in lines:
        closing = line.count("</")
        opening = line.count("<") - closing - line.count("<?")
        yield "  " * (depth - line.startswith("</")) + line
        depth += opening - closing
