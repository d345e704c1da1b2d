"""Invoices made through the commands keep to the official rules of electronic invoices."""

import sys
from pathlib import Path

import pytest

from ledger.reports.invoices.rules import judged
from tests.billing._job import ClaimedJob, claimed, owner
from tests.conftest import Yard
from tests.reports.invoices.test_documents import attached, faults_of

pytest.importorskip("saxonche")

FEBRUARY, MARCH = "2026-02-27", "2026-03-13"
ABROAD = owner("DE", "DE123456788")
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
