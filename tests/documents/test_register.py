"""The register of what was sent: replies due, overdue and received, and what can be withdrawn."""

from decimal import Decimal
from typing import Any

import pytest

from ledger.documents.sendings import Sending
from tests._stage import JOB
from tests.documents._office import Office
from tests.store import _verifier

SEND = ("--to", "Jonna Merrick", "--by", "email")


def register(office: Office, *words: str) -> Any:
    return office.json("sendings", *words)["sendings"]


@pytest.mark.slow
def test_a_reply_is_due_by_the_contracts_days(office: Office) -> None:
    """Typed, else by the settings of kind and job, else of a request the day of its change."""
    limits = "[reply_limits]\nquotation = 28\n[reply_limits.STAGE]\nvariation_order = 7\n"
    office.at("load", "settings", office.write("s.toml", limits))
    for kind, change in (("quotation", "CR2"), ("variation-order", "CR1"), ("notice", "CR3")):
        aware = ("--aware-on", "2026-04-01") if kind == "notice" else ()
        office.issue(kind, change, *aware)
    office.issue("decision-request", "CR2")
    said = [
        office.at("record", "sending", document, *SEND).stderr
        for document in ("STAGE-Q-001", "STAGE-VO-001", "STAGE-N-001", "STAGE-RD-001")
    ]
    due = {row["document"]: row["reply_due"] for row in register(office)}

    assert due == {
        "STAGE-Q-001": "2026-04-30",
        "STAGE-VO-001": "2026-04-09",
        "STAGE-N-001": None,
        "STAGE-RD-001": "2026-04-20",
    }
    assert said[2] == ("STAGE-N-001: sent 2026-04-02 to Jonna Merrick by email; no reply due\n")


def test_a_reply_is_recorded_with_its_file(office: Office) -> None:
    """What is overdue is told until a reply is in; its file is handed out again."""
    office.issue("variation-order", "CR1")
    office.at("record", "sending", "stage-vo-001", *SEND, "--reply-by", "2026-04-05")
    overdue = register(office, "--status-date", "2026-04-06", "--open")
    scan = office.folder / "scan.pdf"
    scan.write_bytes(b"%PDF-signed")
    reply = ("record", "reply", "STAGE-VO-001", "--person", "Jonna Merrick")
    said = office.at(*reply, "--date", "2026-04-07", "--attach", scan, "--answer", "signed")
    row = register(office, "--status-date", "2026-04-08")[0]
    out = office.folder / "out.pdf"
    office.run("save", "attachment", row["attachment"], "--out", out)

    assert [each["standing"] for each in overdue] == ["overdue"]
    assert register(office, "--status-date", "2026-04-08", "--open") == []
    assert (row["standing"], row["replied_on"], row["answer"]) == (
        "replied",
        "2026-04-07",
        "signed",
    )
    assert out.read_bytes() == b"%PDF-signed"
    assert said.stderr.startswith(
        "STAGE-VO-001: Jonna Merrick replied 2026-04-07; it was due 2026-04-05\n"
    )
    office.run("check")


@pytest.mark.slow
def test_replies_overdue_are_among_what_is_to_do(office: Office) -> None:
    """`status` counts the job's replies that are overdue on its day, since the first was due."""
    office.issue("variation-order", "CR1")
    for due in ("2026-04-07", "2026-04-05"):
        office.at("record", "sending", "STAGE-VO-001", *SEND, "--reply-by", due)

    def to_do(day: str) -> list[Any]:
        status = office.json("status", "--job", "STAGE", "--status-date", day)
        return [row for row in status["to_do"] if row["what"] == "replies_overdue"]

    shown = office.run("status", "--job", "STAGE", "--status-date", "2026-04-08").stdout

    assert to_do("2026-04-05") == []
    assert [(row["count"], row["due"]) for row in to_do("2026-04-08")] == [(2, "2026-04-05")]
    assert "2 replies overdue since 2026-04-05" in shown


def test_the_file_of_a_reply_is_kept_with_its_document(office: Office) -> None:
    """A signed scan is not erased before the document's own day; the words of a reply can be."""
    office.issue("variation-order", "CR1")
    office.at("record", "sending", "STAGE-VO-001", *SEND, "--note", "to the club house")
    scan = office.write("scan.txt", "signed")
    reply = ("record", "reply", "STAGE-VO-001", "--person", "Jo Lind", "--answer", "yes")
    office.at(*reply, "--attach", scan)
    row = register(office)[0]
    erase = ("erase", "text")
    refused = office.at(*erase, row["attachment"], "--reason", "asked", ok=False)
    office.at(*erase, row["id"], "--reason", "asked")

    assert refused.stderr == (
        f"{row['attachment']}: is kept with document STAGE-VO-001 until 2036-04-02\n"
    )
    assert register(office)[0]["answer"] == "erased"
    office.run("check")


def test_a_sending_can_be_withdrawn(office: Office) -> None:
    """A withdrawn reply leaves the sending waiting again; a withdrawn sending is not listed."""
    office.issue("variation-order", "CR1")
    office.at("record", "sending", "STAGE-VO-001", *SEND)
    office.at("record", "reply", "STAGE-VO-001", "--person", "Jo Lind")
    withdraw = ("withdraw", "fact", "--reason", "another letter")
    office.at(*withdraw, register(office)[0]["id"])
    waiting = register(office)[0]
    with_file = office.at(*withdraw, waiting["id"], "--with", "x.csv", ok=False)
    office.at(*withdraw, waiting["id"])
    office.at("record", "sending", "STAGE-VO-001", *SEND)

    assert waiting["replied_on"] is None
    assert with_file.stderr == (
        "a sending has no file; withdraw it, then enter it by `fairhours record sending`\n"
    )
    assert [row["number"] for row in register(office)] == [Decimal(2)]


def test_days_that_do_not_fit_are_refused(office: Office) -> None:
    """Sent before it was issued, due before it was sent, replied to before, or never sent."""
    office.issue("variation-order", "CR1")
    send, reply = ("record", "sending", "STAGE-VO-001", *SEND), ("record", "reply", "STAGE-VO-001")
    by_pigeon = ("record", "sending", "STAGE-VO-001", "--to", "Jo", "--by", "pigeon")
    said = [
        office.at(*send, "--date", "2026-04-01", ok=False).stderr,
        office.at(*send, "--reply-by", "2026-04-01", ok=False).stderr,
        office.at(*reply, "--person", "Jo", ok=False).stderr,
        office.at(*by_pigeon, ok=False).stderr,
    ]
    office.at(*send)
    said.append(office.at(*reply, "--person", "Jo", "--date", "2026-04-01", ok=False).stderr)

    assert [text.splitlines()[0] for text in said] == [
        "STAGE-VO-001: sent 2026-04-01, before it was issued on 2026-04-02",
        "STAGE-VO-001: the reply is due 2026-04-01, before it was sent on 2026-04-02",
        "STAGE-VO-001: no such sending is recorded; `fairhours record sending STAGE-VO-001`",
        'by "pigeon" is unknown; use one of email, post, courier, by_hand, portal',
        "STAGE-VO-001: replied 2026-04-01, before it was sent on 2026-04-02",
    ]


SHEET = "daywork_sheet,change,from,to,agreed_on,mark,person,document\n"


def test_a_signed_sheet_covers_what_stood_on_it(office: Office) -> None:
    """Hours booked after a sheet was issued are not agreed by it, though the mark came later."""
    office.issue("daywork-sheet", "DW1", "--from", "2026-03-10", "--to", "2026-03-11")
    later = "worker_id,date,hours,booking_code\nA1,2026-03-10,1.5,DW1\n"
    office.load("sheets", later)
    signed = "DS1,DW1,2026-03-10,2026-03-11,2026-04-03,agreed,Jonna Merrick,stage-ds-001\n"
    office.load("daywork-sheets", SHEET + signed)
    listed = office.json("changes", "--job", JOB, "--status-date", "2026-04-03")["changes"]
    row = next(each for each in listed if each["change"] == "DW1")
    actual = {name: row[name] for name in ("hours_agreed", "hours_unsigned")}

    # 5 + 3 + 2 h stood on the sheet; 1.5 h came after.
    assert actual == {"hours_agreed": 10, "hours_unsigned": Decimal("1.5")}
    page = office.page("daywork-sheet", "DW1")
    assert "10.00 h" in page
    assert all(word not in page for word in ("Ada", "Bram", "in the cold", "55.50"))


def test_a_sheet_names_a_document_that_fits_it(office: Office) -> None:
    """Another kind, change, days or mark, or a day before it was issued, is told row by row."""
    office.issue("quotation", "CR2")
    record = ("--for", "for-record-only")
    office.issue("daywork-sheet", "DW1", "--from", "2026-03-10", *record)
    rows = [
        "D1,DW1,2026-03-10,2026-03-10,2026-04-03,for_record_only,Jo,STAGE-Q-001",
        "D2,DW1,2026-03-10,2026-03-11,2026-04-03,for_record_only,Jo,STAGE-DS-001",
        "D3,DW1,2026-03-10,2026-03-10,2026-04-03,agreed,Jo,STAGE-DS-001",
        "D4,DW1,2026-03-10,2026-03-10,2026-04-01,for_record_only,Jo,STAGE-DS-001",
    ]
    said = office.load("daywork-sheets", SHEET + "\n".join(rows) + "\n", ok=False).stderr

    assert said.splitlines() == [
        'daywork-sheets.csv:2: document "STAGE-Q-001" is not a daywork sheet issued for STAGE; '
        "`fairhours documents` lists them",
        "daywork-sheets.csv:3: STAGE-DS-001 is of 2026-03-10 to 2026-03-10; "
        "give these days as from and to",
        "daywork-sheets.csv:4: STAGE-DS-001 was issued for record only; "
        "issue another for agreement",
        "daywork-sheets.csv:5: agreed_on 2026-04-01 is before STAGE-DS-001 was issued, 2026-04-02",
        "4 faults; nothing was loaded",
    ]


def test_a_sending_stands_by_its_days() -> None:
    """Replied counts from its day; before that it waits until its reply is overdue."""
    from datetime import date

    day = date(2026, 4, 10)
    of_a_reply = {"replied_by": None, "answer": None, "note": None, "attachment": None}
    given: dict[str, Any] = {"id": "", "document": "Q", "number": 1, "kind": "quotation"}
    given |= {"job": "J", "change": "C", "sent_to": "Jo", "sent_on": day, "sent_by": "post"}
    given |= {**of_a_reply, "attached_batch": None, "attached_row": None}
    actual = [
        Sending(**given, reply_due=due, replied_on=replied).standing(day)
        for due, replied in (
            (None, None),
            (day, None),
            (date(2026, 4, 9), None),
            (date(2026, 4, 9), day),
            (day, date(2026, 4, 11)),
        )
    ]

    assert actual == ["no_reply_due", "waiting", "overdue", "replied", "waiting"]


@pytest.mark.slow
def test_documents_and_sendings_can_be_reckoned_from_the_export(office: Office) -> None:
    """Both are sealed as all other facts are, names of people as handles; a name can be erased."""
    office.issue("variation-order", "CR1", "--prepared-by", "Inga Rask")
    office.at("record", "sending", "STAGE-VO-001", *SEND)
    office.at("record", "reply", "STAGE-VO-001", "--person", "Jo Lind", "--answer", "yes")
    names = office.rows(office.run("show", "person_name", "--format", "csv").stdout)
    named = next(row["id"] for row in names if row["name"] == "Inga Rask")
    said = office.at("erase", "text", named, "--reason", "asked").stderr
    folder = office.folder / "archive"
    office.run("export", folder)
    actual = _verifier.reckoned(folder)

    assert {name for batch in actual for name in batch.roots} >= {"document", "sending"}
    assert actual == _verifier.as_exported(folder)
    assert _verifier.persons_not_named(folder) == []
    assert "documents stay as issued until they need not be kept: STAGE-VO-001" in said
    assert office.documents()[0]["prepared_by"] == "erased"
    assert "Inga Rask" in office.page("variation-order", "CR1")
    office.run("check")
