"""An invoice as a file to be sent: UBL, CII, a PDF, or a PDF that carries CII (Factur-X)."""

from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

from ledger.domain.invoices import Invoice
from ledger.reports import pages
from ledger.reports.invoices.arithmetic import refuse_misreckoned
from ledger.reports.invoices.checks import refuse_faulty
from ledger.reports.invoices.page import NO_MARKS, InvoiceAdditions, InvoicePage, invoice_page
from ledger.reports.invoices.rules import refuse_unfit
from ledger.reports.invoices.xml import cii, ubl
from ledger.reports.tables import Print
from ledger.reports.templates import gather

Kind = Literal["ubl", "cii", "factur-x", "pdf"]
ENDINGS: dict[Kind, str] = {"ubl": ".xml", "cii": ".xml", "factur-x": ".pdf", "pdf": ".pdf"}
EMBEDDED = "factur-x.xml"
VARIANT = "pdf/a-3b"
NAMESPACE = "urn:factur-x:pdfa:CrossIndustryDocument:invoice:1p0#"
# What the metadata says of the file within; the same of an invoice and of a credit note.
SAYS = {
    "DocumentType": ("INVOICE", "kind of document"),
    "DocumentFileName": (EMBEDDED, "name of the embedded XML file"),
    "Version": ("1.0", "version of the schema of the embedded file"),
    "ConformanceLevel": ("EN 16931", "profile of the embedded file"),
}


def invoice_document(
    invoice: Invoice,
    kind: Kind,
    out: Print,
    marks: InvoiceAdditions = NO_MARKS,
    templates: Path | None = None,
) -> bytes:
    """Return the invoice as a file of that kind; same invoice, instant and marks, same bytes.

    Nothing is returned that is wrong: the invoice is checked first, and a file with data in it by
    its figures and by the official schema and rules. `templates` is a folder of the yard's own.

    Raises: Refused with all that is wrong, or where the rules are not installed.
    """
    refuse_faulty(invoice)
    page = invoice_page(invoice, marks, enclosed=kind == "factur-x")
    if kind == "pdf":
        return pages.printed(_text(page, out, templates), out, [])
    file = ubl(invoice) if kind == "ubl" else cii(invoice)
    refuse_misreckoned(invoice.number, file)
    refuse_unfit(invoice.number, file)
    if kind != "factur-x":
        return file
    archive = replace(out, pdf_variant=VARIANT)
    text = _text(page, archive, templates)
    enclosed = pages.Enclosed(EMBEDDED, file, "The same invoice as data", "Alternative")
    return pages.printed(text, archive, [enclosed], finisher=_as_factur_x)


def _text(page: InvoicePage, out: Print, templates: Path | None) -> str:
    return pages.html(page, gather("invoice.html", templates), replace(out, medium="paper"))


def _as_factur_x(_: Any, file: Any) -> None:
    """Say in the metadata what lies in the PDF, within its one description (ISO 16684-1)."""
    for part in file.objects:
        kind = getattr(part, "extra", {}).get("Type")
        if kind == "/EmbeddedFile":
            part.extra["Subtype"] = "/text#2fxml"
        elif kind == "/Metadata":
            whole = b"".join(part.stream)
            before, end, after = whole.rpartition(b"</rdf:RDF>")
            assert end, "the library writes its metadata as RDF"
            part.stream = [before + _description().encode("utf-8") + end + after]
            continue  # It stays readable, as archives ask.
        if hasattr(part, "compress"):
            _pack(part)


def _pack(part: Any) -> None:
    """Pack a stream, unless its last byte could then be taken for the end of a line.

    Source: ISO 19005-3, 6.1.7.1: a stream is as long as it says, less one end of a line.
    """
    part.compress = True
    if part.data.endswith(b"\r\nendstream"):
        part.compress = False


def _description() -> str:
    """Return the properties of Factur-X and, as PDF/A asks, what each of them is."""
    values = "".join(f"<fx:{name}>{value}</fx:{name}>" for name, (value, _) in SAYS.items())
    meanings = "".join(
        '<rdf:li rdf:parseType="Resource">'
        f"<pdfaProperty:name>{name}</pdfaProperty:name>"
        "<pdfaProperty:valueType>Text</pdfaProperty:valueType>"
        "<pdfaProperty:category>external</pdfaProperty:category>"
        f"<pdfaProperty:description>{meaning}</pdfaProperty:description></rdf:li>"
        for name, (_, meaning) in SAYS.items()
    )
    return (
        f'<rdf:Description rdf:about="" xmlns:fx="{NAMESPACE}">{values}</rdf:Description>'
        '<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"'
        ' xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#"'
        ' xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#"><pdfaExtension:schemas><rdf:Bag>'
        '<rdf:li rdf:parseType="Resource">'
        "<pdfaSchema:schema>Factur-X PDFA Extension Schema</pdfaSchema:schema>"
        f"<pdfaSchema:namespaceURI>{NAMESPACE}</pdfaSchema:namespaceURI>"
        "<pdfaSchema:prefix>fx</pdfaSchema:prefix>"
        f"<pdfaSchema:property><rdf:Seq>{meanings}</rdf:Seq></pdfaSchema:property></rdf:li>"
        "</rdf:Bag></pdfaExtension:schemas></rdf:Description>"
    )
