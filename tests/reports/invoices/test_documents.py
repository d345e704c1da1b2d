"""An invoice as a file: nothing wrong is made, and the PDF carries what it shows."""

import hashlib
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import page
import pydyf
import pytest

from ledger.cli.refusals.worded import worded
from ledger.domain.invoices import Invoice
from ledger.errors import Refused
from ledger.reports import pages
from ledger.reports.invoices.documents import ENDINGS, Kind, _pack, invoice_document
from ledger.reports.invoices.page import NO_MARKS, InvoiceAdditions, invoice_page
from ledger.reports.invoices.xml import cii, ubl
from ledger.reports.tables import Column, Fact, Print, Row, Section, Table
from ledger.reports.templates import gather
from tests.conftest import slow_beyond
from tests.reports._again import made_again
from tests.reports._paper import Elements, boxes_of
from tests.reports.invoices._mutants import DAYWORK
from tests.reports.invoices._yard import (
    HOURS,
    KINDS,
    OWNER,
    PAYMENT,
    YARD,
    fixed,
    invoice,
    lines_of,
)

pytest.importorskip("saxonche")

AT = datetime(2026, 6, 15, 9, 30, tzinfo=UTC)
OUT = Print("A4", AT)
AGAIN = """
import sys
from tests.reports.invoices.test_documents import OUT, KINDS, DAYWORK, invoice_document
sys.stdout.buffer.write(invoice_document(KINDS[DAYWORK], sys.argv[1], OUT))
"""
EXTENSION = "{http://www.aiim.org/pdfa/ns/property#}name"


@cache
def factur_x(kind: str, paper: str = "A4") -> bytes:
    return invoice_document(KINDS[kind], "factur-x", Print(paper, AT))


def shown(made: Invoice, marks: InvoiceAdditions = NO_MARKS, *, enclosed: bool = False) -> str:
    page_of = invoice_page(made, marks, enclosed=enclosed)
    return pages.html(page_of, gather("invoice.html"), replace(OUT, medium="paper"))


def faults_of(pdf: bytes) -> list[str]:
    """Return what PDF/A-3b has against a file, by a check that is not the library's own."""
    found = page.validate_pdf_bytes(pdf, profile=page.ValidationProfile.PDF_A_3B)
    return [f"{failure.rule_id}: {failure.message}" for failure in found.failures]


def attached(pdf: bytes, folder: Path) -> dict[str, bytes]:
    path, out = folder / "v.pdf", folder / "out"
    path.write_bytes(pdf)
    out.mkdir()
    subprocess.run(["pdfdetach", "-saveall", "-o", out, path], check=True, capture_output=True)
    return {file.name: file.read_bytes() for file in out.iterdir()}


def metadata(pdf: bytes) -> ElementTree.Element:
    """Return the description of the file, of which there is one."""
    [packet] = re.findall(rb"<x:xmpmeta .*?</x:xmpmeta>", pdf, re.DOTALL)
    [description] = ElementTree.fromstring(packet)
    return description


def properties(pdf: bytes) -> dict[str, str]:
    found = metadata(pdf).iter()
    named = (each for each in found if "factur-x:pdfa" in each.tag)
    return {each.tag.rpartition("}")[2]: each.text or "" for each in named}


@pytest.mark.parametrize(
    "kind", slow_beyond(1, [DAYWORK, *(each for each in KINDS if each != DAYWORK)])
)
def test_an_invoice_is_an_archive_that_carries_its_data(kind: str, tmp_path: Path) -> None:
    """The PDF keeps to PDF/A-3b, and the one file in it is the CII of the same invoice."""
    pdf = factur_x(kind)

    assert faults_of(pdf) == []
    assert attached(pdf, tmp_path) == {"factur-x.xml": cii(KINDS[kind])}


@pytest.mark.slow
def test_a_long_invoice_on_letter_paper_is_an_archive_too(tmp_path: Path) -> None:
    """300 lines of two rates on Letter."""
    made = invoice(*lines_of(300))
    pdf = invoice_document(made, "factur-x", Print("Letter", AT))

    assert faults_of(pdf) == []
    assert attached(pdf, tmp_path) == {"factur-x.xml": cii(made)}
    assert "612 x 792" in pdfinfo(pdf, tmp_path)


def pdfinfo(pdf: bytes, folder: Path) -> str:
    path = folder / "info.pdf"
    path.write_bytes(pdf)
    return subprocess.run(["pdfinfo", path], check=True, capture_output=True, text=True).stdout


def test_the_metadata_says_what_lies_within() -> None:
    """The properties of Factur-X stand in the one description, and PDF/A's account of each."""
    pdf = factur_x(DAYWORK)
    explained = {each.text for each in metadata(pdf).iter(EXTENSION)}

    assert properties(pdf) == {
        "DocumentType": "INVOICE",
        "DocumentFileName": "factur-x.xml",
        "Version": "1.0",
        "ConformanceLevel": "EN 16931",
    }
    assert explained == set(properties(pdf))
    assert b"/Subtype /text#2fxml" in pdf


@pytest.mark.slow
@pytest.mark.parametrize("kind", ENDINGS)
def test_a_document_has_the_same_bytes_in_another_process(kind: Kind) -> None:
    """Nothing in a file comes from the clock, the machine or chance."""
    here = invoice_document(KINDS[DAYWORK], kind, OUT)

    assert made_again(AGAIN, kind) == here


def test_the_files_of_each_kind() -> None:
    """XML is the file itself; a plain PDF holds no other file."""
    made = KINDS[DAYWORK]

    assert invoice_document(made, "ubl", OUT) == ubl(made)
    assert invoice_document(made, "cii", OUT) == cii(made)
    assert b"EmbeddedFile" not in invoice_document(made, "pdf", OUT)


def test_a_plain_pdf_needs_no_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    """A yard that sends no data has no need of the official rules."""
    for name in ("lxml", "saxonche", "facturx"):
        monkeypatch.setitem(sys.modules, name, None)

    assert invoice_document(KINDS[DAYWORK], "pdf", OUT).startswith(b"%PDF-")


@pytest.mark.parametrize("kind", ENDINGS)
def test_a_faulty_invoice_is_never_made(kind: Kind) -> None:
    """All that is wrong is said, numbers of tax office and bank too, whatever the kind of file."""
    made = invoice(
        replace(HOURS, description=""),
        seller=replace(YARD, tax_number="NL123456783B90"),
        payment=replace(PAYMENT, account="NL61 QQQQ 0123 4567 88", bank="QQQQ"),
    )
    with pytest.raises(Refused) as caught:
        invoice_document(made, kind, OUT)

    assert worded(caught.value) == (
        "invoice 2026-014: cannot be issued\n"
        "line 1: the description is missing\n"
        'seller: "NL123456783B90" is not a valid tax number; write it with its country code '
        "before it, as on the tax office's letter\n"
        '"NL61 QQQQ 0123 4567 88" is not a valid IBAN; copy it from the bank\'s letter\n'
        '"QQQQ" is not a valid BIC; copy it from the bank\'s letter'
    )


def texts(kind: str) -> Iterator[str]:
    """Yield all that an invoice shows a reader, in plain words and figures."""
    made = KINDS[kind]
    yield from (made.number, "15 June 2026", made.buyer.name, made.seller.name)
    yield from (line.description for line in made.lines)
    yield from (made.seller.tax_number, made.buyer.tax_number)
    yield from (each.number for each in made.preceding)


@pytest.mark.parametrize("kind", KINDS)
def test_the_page_shows_what_the_data_say(kind: str) -> None:
    """Parties, numbers, lines, reasons and invoices credited stand on the page."""
    text = Elements(shown(KINDS[kind])).text
    missing = [each for each in texts(kind) if each not in text]

    assert missing == []


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        (DAYWORK, "2 255.32 EUR"),
        (DAYWORK, "NL61 QQQQ 0123 4567 89"),
        (DAYWORK, "−307.80"),
        ("foreign currency", "1 NOK = 0.0852 EUR; European Central Bank, 2026-06-12"),
        ("foreign currency", "33.35 EUR"),
        ("exempt", "Exempt: article 11, paragraph 1 · VATEX-EU-132-1M"),
        ("reverse charge", "Reverse charge (AE)"),
        ("not subject", "Not subject to VAT"),
        ("intra-community", "Delivered to"),
        ("credit note", "2026-012 of 18 May 2026"),
        ("credit note", "Credited to you"),
    ],
)
def test_what_is_due_and_why_stands_on_the_page(kind: str, expected: str) -> None:
    """Totals, the tax in the yard's currency, and the reason why no tax is due."""
    text = Elements(shown(KINDS[kind])).text.replace("\N{NO-BREAK SPACE}", " ")

    assert expected in text


def test_a_credit_note_asks_for_no_payment() -> None:
    """It names no account of the seller, on the page or in the data."""
    made = KINDS["credit note"]
    account = PAYMENT.account

    assert account not in Elements(shown(made)).text
    assert PAYMENT.number.encode() not in ubl(made) + cii(made)
    assert made.payment.account == account


def test_a_credit_note_labels_its_reason() -> None:
    """Why it is given stands once, with the invoices that it credits."""
    text = Elements(shown(KINDS["credit note"])).text

    assert "Reason Hours struck off sheet D-9." in text
    assert text.count("Hours struck off sheet D-9.") == 1


@pytest.mark.parametrize(("kind", "title"), [("credit note", "Credit note"), (DAYWORK, "Invoice")])
def test_a_draft_is_titled_by_its_kind_alone(kind: str, title: str) -> None:
    """What stands above it says that it is a draft: neither number nor "Draft" follows."""
    made = replace(KINDS[kind], number="Draft")
    page_of = invoice_page(made, InvoiceAdditions(draft="Draft: not issued, without a number"))

    assert page_of.title == title
    assert page_of.running[0] == f"{title} · {made.seller.name}"


def test_other_peoples_text_is_text() -> None:
    """Marks of code and of direction are shown, on the page; the data have the words as written."""
    name = "<b>Bow</b> & \N{RIGHT-TO-LEFT OVERRIDE}stern\nand\n\nkeel"
    made = invoice(replace(HOURS, description=name))
    text = Elements(shown(made)).text
    named = ElementTree.fromstring(cii(made)).findtext(".//{*}SpecifiedTradeProduct/{*}Name")

    assert "<b>Bow</b> & ■stern and keel" in text
    assert named == "<b>Bow</b> & \N{RIGHT-TO-LEFT OVERRIDE}stern and keel"


def test_what_the_book_adds_stands_at_the_end() -> None:
    """Foot, banner, annexes and proof are handed in; without them the page has none."""
    annex = Table("account", "Account", (Column("Item", "text"),), (Row(("Base",)),))
    marks = InvoiceAdditions(
        "Record stamp 7",
        "Rehearsal",
        (Fact("Record stamp", "7 · ab"),),
        (Section("Account", annex),),
    )
    text = Elements(shown(KINDS[DAYWORK], marks, enclosed=True)).text

    assert "Record stamp 7" in text
    assert text.index("Payment") < text.index("Account", text.index("Payment") + 40)
    assert text.index("factur-x.xml") < text.index("7 · ab")
    assert "Record stamp" not in Elements(shown(KINDS[DAYWORK])).text


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_long_invoice_repeats_the_head_of_its_lines(paper: str) -> None:
    """Every page of lines has their head, no line is lost or cut, and the totals end it."""
    made = invoice(*lines_of(300))
    text = pages.html(invoice_page(made), gather("invoice.html"), Print(paper, AT, medium="paper"))
    boxes = boxes_of(text)
    last = max(box.page for box in boxes)
    heads = {box.page for box in boxes if box.text == "Description"}
    numbers = [box.page for box in boxes if re.fullmatch(r"V-[0-9]{3} .*", box.text)]

    assert len(numbers) == 300
    assert heads >= set(numbers)
    assert last > 8
    assert {box.page for box in boxes if box.text.startswith("Total without tax")} <= {
        last - 1,
        last,
    }
    assert all(box.box.position_x >= 0 for box in boxes if box.text)


# The account, 31 characters, is the example of Malta in SWIFT's IBAN registry, from memory.
LONG = invoice(
    fixed(amount="98765432.10"),
    *KINDS["foreign currency"].lines,
    payment=replace(PAYMENT, account="MT84 MALT 0110 0001 2345 MTLC AST0 01S", bank=""),
    buyer=replace(OWNER, name="Society for all that floats on inland waters " * 3),
)
CROWDED = {"A4": KINDS["foreign currency"], "Letter": LONG}


@pytest.mark.parametrize("paper", CROWDED)
def test_nothing_lies_on_anything_else(paper: str) -> None:
    """No two texts of a page overlap, and none leaves the paper's margins, long ones neither."""
    text = pages.html(
        invoice_page(CROWDED[paper]),
        gather("invoice.html"),
        Print(paper, AT, medium="paper"),
    )
    width = {"A4": 210, "Letter": 215.9}[paper] / 25.4 * 96
    placed = [laid.box for laid in boxes_of(text) if laid.text.strip()]
    over = [
        (one.text, two.text)
        for number, one in enumerate(placed)
        for two in placed[number + 1 :]
        if shared(one.position_x, one.width, two.position_x, two.width) > 1
        and shared(one.position_y, one.height, two.position_y, two.height) > 4
    ]

    assert over == []
    assert all(each.position_x > 0 and each.position_x + each.width < width - 60 for each in placed)


def shared(at: float, length: float, other: float, its_length: float) -> float:
    """Return how much of two stretches lies on each other."""
    return min(at + length, other + its_length) - max(at, other)


def test_no_stream_ends_as_a_line_does() -> None:
    """Of many streams those whose packed form ends in a carriage return stay unpacked."""
    parts = [pydyf.Stream([str(number)]) for number in range(10_000, 13_000)]
    for part in parts:
        _pack(part)
    left = [part for part in parts if not part.compress]

    assert 0 < len(left) < 100
    assert not any(part.data.endswith(b"\r\nendstream") for part in parts)


@pytest.mark.slow
def test_a_yards_own_template_is_taken(tmp_path: Path) -> None:
    """An invoice may look as the yard likes; its data are the same."""
    own = '{% extends "base.html" %}{% block content %}Our own look{% endblock %}'
    (tmp_path / "invoice.html").write_text(own, encoding="utf-8")
    made = KINDS[DAYWORK]
    pdf = invoice_document(made, "factur-x", OUT, templates=tmp_path)

    assert attached(pdf, tmp_path) == {"factur-x.xml": cii(made)}
    assert pdf != factur_x(DAYWORK)


def test_the_hash_of_the_data_is_that_of_the_file() -> None:
    """What the PDF says of its file, its size and checksum, is true."""
    data, pdf = cii(KINDS[DAYWORK]), factur_x(DAYWORK)

    assert f"/Size {len(data)}".encode() in pdf
    assert hashlib.md5(data, usedforsecurity=False).hexdigest().encode() in pdf
    assert re.search(rb"/AFRelationship ?/Alternative\b", pdf)
