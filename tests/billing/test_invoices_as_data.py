"""Invoices made through the commands keep to the official rules of electronic invoices."""

import sys
from pathlib import Path
from typing import Any

import pytest

from ledger.reports.invoices.rules import judged
from tests.billing._job import CHANGES, ClaimedJob, claimed, owner
from tests.conftest import Yard
from tests.reports.invoices.test_documents import attached, faults_of

pytest.importorskip("saxonche")

FEBRUARY, MARCH = "2026-02-27", "2026-03-13"
ABROAD = owner("DE", "DE123456788")
LAMPS = "change,price_kind,description,quantity,unit,unit_price\n"
# What begins a line, in UBL and in CII.
LINES = (b"<cac:InvoiceLine>", b"<ram:IncludedSupplyChainTradeLineItem>")
# The words for each category, and what of its tax stands in the file.
CATEGORIES = {
    "S": (("--tax-rate", "9"), "450.00"),
    "Z": ((), "0.00"),
    "E": (("--tax-reason", "Exempt: article 11", "--tax-reason-code", "VATEX-EU-132-1M"), "0.00"),
    "AE": ((), "0.00"),
    "K": (("--delivered-on", FEBRUARY, "--deliver-to-country", "DE"), "0.00"),
    "G": ((), "0.00"),
    "O": ((), "0.00"),
}


def abroad_job(yard: Yard) -> ClaimedJob:
    """Return a job for an owner abroad, with one claim of 5,000.00."""
    job = claimed(yard, "10000.00", ABROAD)
    job.claim_to(FEBRUARY, "base 50")
    return job


@pytest.mark.slow
@pytest.mark.parametrize("made_as", ["ubl", "cii"])
def test_an_invoice_of_each_category_keeps_to_the_rules(yard: Yard, made_as: str) -> None:
    """Each is issued, credited and billed again as the next; rules fired, and none failed."""
    job = abroad_job(yard)
    for number, (category, (words, tax)) in enumerate(CATEGORIES.items(), start=1):
        out = yard.folder / f"{category}.xml"
        job.bill(1, MARCH, "--tax-category", category, *words, "--as", made_as, "--out", out)
        note = yard.folder / f"{category}-credit.xml"
        job.credit(f"INV-{number:04}", MARCH, "--as", made_as, "--out", note)
        for file in (out.read_bytes(), note.read_bytes()):
            found = judged(file)

            assert (found.faults, found.rules_fired > 20) == ((), True)
            assert f">{tax}</".encode() in file
            assert f">{category}</".encode() in file
    yard.run("check")


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_an_invoice_is_an_archive_that_carries_its_data(
    yard: Yard, tmp_path: Path, paper: str
) -> None:
    """As factur-x it keeps to PDF/A-3b; the book has the same bytes."""
    job = abroad_job(yard)
    out, again = yard.folder / "v.pdf", yard.folder / "again.pdf"
    job.bill(1, MARCH, "--as", "factur-x", "--paper", paper, "--out", out)
    yard.run("show", "document", "INV-0001", "--out", again)
    [(name, data)] = attached(out.read_bytes(), tmp_path).items()

    assert faults_of(out.read_bytes()) == []
    assert (name, judged(data).faults) == ("factur-x.xml", ())
    assert out.read_bytes() == again.read_bytes()


ADVANCE = f'{ABROAD}\n[advance]\namount = "1000.00"\nrecovery_percent = 10\n'


def advanced(yard: Yard) -> ClaimedJob:
    """Return a job with an advance of 1,000.00 invoiced at 9 %, and a claim of 5,000.00."""
    job = claimed(yard, "10000.00", ADVANCE)
    words = ("--job", job.job, "--advance", "--tax-rate", "9", "--on", FEBRUARY)
    yard.run("issue", "invoice", *words, "--out", yard.folder / "advance.html")
    job.claim_to(FEBRUARY, "base 50")
    return job


def many_lines(yard: Yard) -> ClaimedJob:
    """Return a job with a claim of 300 changes, each a line of its invoice."""
    job = claimed(yard, "10000.00", ABROAD)
    codes = [f"V{number:03}" for number in range(1, 301)]
    job.load(
        "changes", CHANGES + "".join(f"{c},Lamp {c},Owner,2026-01-12,fixed_price\n" for c in codes)
    )
    lines = (f"{c},material,Lamp,1,lot,{n}.37\n" for n, c in enumerate(codes, start=1))
    job.load("change-lines", LAMPS + "".join(lines))
    job.events(*(f"{c},approved,2026-01-13" for c in codes))
    job.claim_to(FEBRUARY, *(f"{c} 100" for c in codes))
    return job


@pytest.mark.slow
@pytest.mark.parametrize("made_as", ["ubl", "cii", "factur-x"])
@pytest.mark.parametrize(
    ("making", "lines", "net", "tax"),
    [
        # 5,000 less 500 of the advance: 21 % of 5,000 less 9 % of 500.
        (advanced, 2, "4500.00", "1005.00"),
        # 1.37 + 2.37 + ... + 300.37 = 45,150 + 111; 21 %.
        (many_lines, 300, "45261.00", "9504.81"),
    ],
)
def test_two_rates_and_many_lines_keep_to_the_rules(
    yard: Yard, tmp_path: Path, making: Any, lines: int, net: str, tax: str, made_as: str
) -> None:
    """Issued by the command, as each kind of data; as a PDF it keeps to PDF/A-3b on Letter too."""
    yard.copy_made_by(making)
    out = yard.folder / ("v.pdf" if made_as == "factur-x" else "v.xml")
    words = ("--paper", "Letter") if made_as == "factur-x" else ()
    ClaimedJob(yard).bill(1, MARCH, "--as", made_as, "--out", out, *words)
    file = out.read_bytes()
    if made_as == "factur-x":
        assert faults_of(file) == []
        [file] = attached(file, tmp_path).values()
    found = judged(file)

    assert (found.faults, found.rules_fired > 20) == ((), True)
    assert (f">{net}</".encode() in file, f">{tax}</".encode() in file) == (True, True)
    assert max(file.count(each) for each in LINES) == lines


@pytest.mark.slow
@pytest.mark.parametrize(("currency", "places"), [("JPY", 0), ("KWD", 3)])
def test_a_currency_of_other_decimals_is_refused(yard: Yard, currency: str, places: int) -> None:
    """The reason is said, and nothing is issued."""
    job = claimed(yard, "10000.00", owner("NO", invoice=f'currency = "{currency}"'))
    job.claim_to(FEBRUARY, "base 50")
    words = ("--exchange-rate", "0.5", "--exchange-source", "Central bank")
    out = yard.folder / "v.xml"
    said = job.bill(1, MARCH, *words, "--as", "ubl", "--out", out, ok=False).stderr

    assert f"{currency} has {places} decimals; an electronic invoice (EN 16931) rounds" in said
    assert (job.invoices(), out.exists()) == ([], False)


@pytest.mark.slow
def test_without_the_extra_one_message_says_what_to_do(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is issued as data; a plain PDF is, and takes the first number."""
    job = abroad_job(yard)
    for name in ("lxml", "saxonche", "facturx"):
        monkeypatch.setitem(sys.modules, name, None)
    words = ("--as", "ubl", "--out", yard.folder / "v.xml")
    said = job.bill(1, MARCH, *words, ok=False).stderr
    job.bill(1, MARCH, "--out", yard.folder / "v.pdf")

    assert said == (
        "an electronic invoice is checked by the official rules, which are not installed; install "
        '"fairhours[invoices]" with pip, or issue a plain PDF\n'
    )
    assert job.amounts() == [("INV-0001", 5000, 6050)]
