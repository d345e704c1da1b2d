"""A document takes the next number with its bytes, and neither ever changes."""

import re
from pathlib import Path
from typing import Any

import pytest

from ledger.commands import documents as commands
from ledger.domain.documents import NumberSeries, form_fault, retained_until, series_of
from ledger.reports.rendering import render
from tests._stage import JOB, batches
from tests.conftest import slow_case
from tests.documents._office import MINUTE, Office


def test_numbers_follow_each_other_in_their_series(office: Office) -> None:
    """Each kind counts for itself, without a gap, and what is refused takes no number."""
    office.issue("quotation", "CR2")
    office.issue("quotation", "CR1", ok=False)
    office.issue("quotation", "CR3")
    office.issue("variation-order", "CR1")

    assert office.numbers() == ["STAGE-Q-001", "STAGE-Q-002", "STAGE-VO-001"]
    office.run("check")


def test_the_same_bytes_are_handed_out_again(office: Office, tmp_path: Path) -> None:
    """A document is written again as it was issued, whatever was recorded since."""
    office.issue("quotation", "CR2", "--days", "2")
    first = office.page("quotation", "CR2")
    office.load("change-events", f"{EVENT_HEAD}CR2,submitted,2026-04-02,Ada,\n")
    again = tmp_path / "again.html"
    office.run("show", "document", "stage-q-001", "--out", again)

    assert again.read_text(encoding="utf-8") == first
    refused = office.run("show", "document", "STAGE-Q-001", "--out", tmp_path / "a.pdf", ok=False)
    assert refused.stderr == "--out: STAGE-Q-001 was issued as .html; name such a file\n"
    unknown = office.run("show", "document", "Q-9", ok=False)
    assert unknown.stderr == 'there is no document "Q-9"; `fairhours documents` lists them\n'


EVENT_HEAD = "change,event,date,person,valid_until\n"


def test_a_draft_has_no_number_and_writes_nothing(office: Office) -> None:
    """The page of a draft says so, and the book is as it was."""
    before = batches(office)
    said = office.issue("variation-order", "CR1", "--draft").stderr
    page = office.page("variation-order", "CR1")

    assert batches(office) == before
    assert "Draft: not issued, without a number" in page
    assert "STAGE-VO" not in page
    assert said.endswith("; nothing was written to the book\n")


def test_a_page_is_made_again_when_the_book_was_written_meanwhile(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another document that is issued while the page is made takes the number; this one the next.

    The page is known at the batch before its own.
    """
    make = render

    def overtaken(*given: Any, **more: Any) -> bytes:
        monkeypatch.setattr(commands, "render", make)
        begun = office.now
        office.now = begun - MINUTE * 3 / 2
        office.issue("quotation", "CR3")
        office.now = begun
        return make(*given, **more)

    monkeypatch.setattr(commands, "render", overtaken)
    office.issue("quotation", "CR2")
    first, second = office.documents()

    assert (first["change"], first["document"]) == ("CR3", "STAGE-Q-001")
    assert (second["change"], second["document"]) == ("CR2", "STAGE-Q-002")
    assert second["id"] == f"document:{second['known_at'] + 1}.1"
    assert "STAGE-Q-002" in office.page("quotation", "CR2")
    assert "STAGE-Q-001" not in office.page("quotation", "CR2")


@pytest.mark.slow
def test_an_office_that_is_overtaken_again_and_again_is_told(
    office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After some tries nothing is issued, and the message says so."""
    monkeypatch.setattr(commands, "has_moved", lambda *_: True)
    said = office.issue("quotation", "CR2", ok=False).stderr

    assert office.numbers() == []
    assert said == (
        "the book was written 5 times while the page was made; nothing was issued: try again\n"
    )


@pytest.mark.slow
def test_a_document_is_not_erased_before_its_day(office: Office) -> None:
    """Its row and its bytes are kept until the day the settings say; then both go, and no more."""
    office.at("load", "settings", office.write("s.toml", "[yard]\nretain_until = 1\n"))
    office.issue("quotation", "CR2")
    office.issue("quotation", "CR3")
    erase = ("erase", "text", office.documents()[0]["id"], "--reason", "over")
    refused = office.at(*erase, ok=False)
    office.now = office.now.replace(year=2027, day=3)
    office.at(*erase)
    show, kept = ("show", "document"), office.folder / "kept.html"
    gone = office.run(*show, "STAGE-Q-001", "--out", office.folder / "gone.html", ok=False)
    office.run(*show, "STAGE-Q-002", "--out", kept)

    assert refused.stderr == f"{erase[2]}: is kept with document STAGE-Q-001 until 2027-04-02\n"
    assert gone.stderr == "STAGE-Q-001: was erased\n"
    assert kept.read_text("utf-8") == office.page("quotation", "CR3")
    assert "STAGE-Q-001: erased" not in office.run("check").stderr


@pytest.mark.slow
def test_a_job_may_number_otherwise(office: Office) -> None:
    """Prefix and form are settings by kind, and a job's own come first; a new width goes on."""
    of_yard = '[number_series]\nquotation = "Q-{number}"\n'
    office.at("load", "settings", office.write("a.toml", of_yard))
    office.issue("quotation", "CR2")
    of_job = '[number_series.STAGE]\nquotation = "Q-{number:4}"\n'
    office.at("load", "settings", office.write("b.toml", of_job))
    office.issue("quotation", "CR3")

    assert office.numbers() == ["Q-1", "Q-0002"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            '[number_series]\nquotation = "{job}{number}"',
            's.toml:2: number_series.quotation "{job}{number}" is not the form of a number; write a'
            " prefix that ends in a letter, point, hyphen or stroke, then the number, as"
            " {job}-Q-{number:3}",
        ),
        slow_case(
            "[number_series.STAGE]\nquotations = 'Q-{number}'",
            "s.toml:2: unknown key number_series.STAGE.quotations; did you mean quotation?",
        ),
        slow_case(
            "[reply_limits]\nnotice = 0",
            "s.toml:2: reply_limits.notice 0 is not between 1 and 3660",
        ),
        slow_case(
            "[yard]\nretain_until = 0", 's.toml:2: yard.retain_until "0" is not 1 to 100 years'
        ),
    ],
)
def test_a_setting_that_does_not_fit_is_named(office: Office, text: str, said: str) -> None:
    """What is wrong with a setting of documents is said with its line and what to write."""
    outcome = office.at("load", "settings", office.write("s.toml", f"{text}\n"), ok=False)

    assert outcome.stderr.splitlines()[0] == said


@pytest.mark.parametrize(
    ("form", "job", "expected"),
    [
        ("{job}-Q-{number:3}", "FERRY", NumberSeries("FERRY-Q-", 3)),
        ("VO/{number}", "FERRY", NumberSeries("VO/")),
        ("{job}.{number:4}", "F1", NumberSeries("F1.", 4)),
    ],
)
def test_a_form_has_its_prefix_and_width(form: str, job: str, expected: NumberSeries) -> None:
    """The job's code stands in the prefix; the number is as wide as the form says, or wider."""
    assert series_of(form, job) == expected
    assert expected.name(12345) == f"{expected.prefix}12345"


@pytest.mark.parametrize(
    "form", ["Q", "{number}", "Q1{number}", "Q-{number}x", "Q {number}", "{j}-{number}"]
)
def test_a_form_without_a_clear_number_is_refused(form: str) -> None:
    """The number stands last, after something that is no digit: no two are written alike."""
    assert form_fault(form)


def test_a_leap_day_is_retained_to_the_end_of_february() -> None:
    """A document of 29 February is kept until the 28th of a common year."""
    from datetime import date

    assert retained_until(date(2028, 2, 29), 1) == date(2029, 2, 28)


def test_what_cannot_be_issued_is_said(office: Office) -> None:
    """A kind that a change does not fit is refused with what to do, and nothing is written."""
    before = batches(office)
    said = [
        office.issue("instruction-confirmation", "CR3", ok=False).stderr,
        office.issue("daywork-sheet", "CR2", "--from", "2026-03-10", ok=False).stderr,
        office.issue("daywork-sheet", "DW1", "--from", "2026-03-20", ok=False).stderr,
        office.issue("decision-request", "CR1", ok=False).stderr,
        office.issue("notice", "CR3", "--aware-on", "2026-05-01", ok=False).stderr,
        office.issue("quotation", "CR2", "--valid-until", "2026-04-01", ok=False).stderr,
        office.at("issue", "quotation", "--job", JOB, "CR2", "--out", "q.txt", ok=False).stderr,
    ]

    assert batches(office) == before
    assert said == [
        "job STAGE: CR3 has no instruction in force; `fairhours instruct change --job STAGE CR3`\n",
        "job STAGE: CR2 is fixed_price, not daywork; it has no daywork sheets\n",
        "job STAGE: nothing is booked on DW1 from 2026-03-20 to 2026-03-20; "
        "load its timesheets and items first\n",
        "job STAGE: CR1 is approved; there is nothing to decide\n",
        "--aware-on 2026-05-01: is after the notice itself, 2026-04-02\n",
        "job STAGE: the price of CR2 was valid until 2026-04-01, before 2026-04-02; "
        "price and submit it again\n",
        "--out q.txt: a document is kept as .pdf or .html\n",
    ]


def test_a_document_names_who_prepared_it(office: Office) -> None:
    """A worker's number is the worker's name on it; a name that is typed stays as it is."""
    shown = []
    for typed in ("A1", "Ida Roke"):
        office.issue("quotation", "CR2", "--prepared-by", typed)
        page = re.sub("<[^>]*>", " ", office.page("quotation", "CR2"))
        found = re.search(r"Prepared by\s+(\w+ \w+)", page)
        shown += [found[1] if found else ""]

    assert shown == ["Ada Brunt", "Ida Roke"]
    assert [row["prepared_by"] for row in office.documents()] == shown
