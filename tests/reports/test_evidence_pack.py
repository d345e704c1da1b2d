"""An evidence pack can be checked without the program, and says nothing of anybody else's lines."""

import io
import json
import re
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import page as validation
import pytest
from playwright.sync_api import sync_playwright

from ledger.domain.proofs import siblings
from ledger.domain.seals import FAN
from ledger.reports.evidence.checking import pack_seals
from tests._stage import JOB, SAMPLE, load_sheets
from tests.conftest import Yard, book_made_by
from tests.inputs._moves import freeze, price, request
from tests.reports._browser import PHONE, browser, shown, violations
from tests.reports._browser import WIDE as WIDTH

SHEETS = (
    "worker_id,date,hours,booking_code,note\n"
    "A1,2026-03-17,3,Q1,oak for the rail\n"
    "B2,2026-03-17,2.5,Q1,\n"
    "C3,2026-03-17,5.125,DECK,planking the foredeck\n"
    "A1,2026-03-18,4,RAIL,\n"
)
LETTER = "The owner agrees to the rail.\n"
WIDE = "entry,day,worker,name,trade,hours,code,sheet,file,line,note"


def make(yard: Yard) -> None:
    """Make a book with a change approved by a letter, worked on, and a document issued of it."""
    from tests._stage import load_all

    load_all(yard)
    freeze(yard)
    request(yard, "Q1")
    price(yard, "Q1,1,carpenter,8")
    yard.run("load", "charge-rates", "--job", JOB, yard.write("charge.csv", CHARGE))
    letter = yard.write("letter to the yard.txt", LETTER)
    yes = ("--person", "Jonna", "--reference", "letter 3", "--date", "2026-03-16")
    yard.run("approve", "change", "--job", JOB, "Q1", *yes, "--attach", letter)
    yard.run("issue", "variation-order", "--job", JOB, "Q1", "--out", yard.folder / "order.html")
    load_sheets(yard, SHEETS)
    # An entry of somebody else comes to it by hand.
    yard.run("tag", "entries", "--code", "RAIL", "--to", "Q1", "--job", JOB, "--reason", "theirs")


CHARGE = "trade,effective_from,charge_per_hour\ncarpenter,2026-01-01,60\nlabourer,2026-01-01,40\n"


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    """A yard with evidence of a change Q1."""
    yard = Yard(tmp_path)
    yard.book.write_bytes(book_made_by(make))
    return yard


def unpacked(yard: Yard, *words: str) -> Path:
    """Make a pack of Q1 and return the folder that it was unpacked to."""
    folder = yard.folder / "pack"
    out = yard.folder / "pack.zip"
    yard.run("report", "evidence", "--job", JOB, "Q1", "--out", out, *words)
    with zipfile.ZipFile(out) as pack:
        pack.extractall(folder)
    return folder


def checked(folder: Path) -> tuple[int, list[str]]:
    """Run the script of a pack, with the standard library alone; return its exit and lines."""
    words = [sys.executable, "-I", "-S", str(folder / "check_pack.py")]
    found = subprocess.run(words, capture_output=True, text=True, check=False)
    assert found.stderr == ""
    return found.returncode, found.stdout.splitlines()


def test_a_pack_is_checked_by_its_own_script(yard: Yard) -> None:
    """Its files, its digests in the record, and the hours of its entries lead to the stamp."""
    folder = unpacked(yard, "--for", "adjudicator")
    files = sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.*"))
    stamp = yard.run("check").stdout.split()[0]
    code, said = checked(folder)

    assert files == [
        "attachments/01 letter to the yard.txt",
        "check_pack.py",
        *(name for name in files if name.startswith("documents/01 ")),
        "entries.csv",
        "events.csv",
        "evidence.pdf",
        "manifest.json",
        "proof.json",
        "sheet_lines.csv",
    ]
    assert (folder / "attachments/01 letter to the yard.txt").read_text() == LETTER
    # Of 3 entries the lines, two ways to be booked on one load, two moves; letter and order; the
    # request and its approval.
    assert code == 0
    assert said[0] == "7 files are as manifest.json lists them"
    assert said[1].startswith(f"sealed rows that lead to record stamp {stamp}: ")


def test_what_was_kept_with_a_price_is_not_in_a_pack(yard: Yard) -> None:
    """What the yard reckoned is its own affair; what came with the request is named so."""
    reckoned, asked = yard.write("reckoned.txt", "margin 12 %\n"), yard.write("ask.txt", "Please\n")
    facts = ("--title", "A gate", "--requested-by", "Jonna", "--basis", "fixed_price")
    yard.run("request", "change", "--job", JOB, "Q2", *facts, "--attach", asked)
    yard.run("enter", "price", "--job", JOB, "Q2", "--labour", "carpenter=2", "--attach", reckoned)
    out = yard.folder / "pack.zip"
    yard.run("report", "evidence", "--job", JOB, "Q2", "--out", out)
    page = yard.folder / "pack.html"
    yard.run("report", "evidence", "--job", JOB, "Q2", "--out", page)
    with zipfile.ZipFile(out) as pack:
        kept = [name for name in pack.namelist() if name.startswith("attachments/")]

    assert kept == ["attachments/01 ask.txt"]
    assert "attached to the request" in page.read_text(encoding="utf-8")


def test_work_ordered_before_its_request_was_written_down_has_its_evidence(yard: Yard) -> None:
    """All that is recorded of such a change is dated before the day of the request."""
    facts = ("--title", "A gate", "--requested-by", "Jonna", "--basis", "fixed_price")
    on = ("--requested-on", "2026-03-20")
    yard.run("request", "change", "--job", JOB, "Q2", *facts, *on)
    events = yard.write("events.csv", "change,event,date,person\nQ2,instructed,2026-03-18,Jonna\n")
    yard.run("load", "change-events", "--job", JOB, events)
    page = yard.folder / "pack.html"
    yard.run("report", "evidence", "--job", JOB, "Q2", "--out", page)

    assert "A gate" in page.read_text(encoding="utf-8")


def words_of(page: Path) -> str:
    """Return the words of a page, with plain blanks between."""
    body = page.read_text(encoding="utf-8").partition("<body>")[2]
    return " ".join(re.sub("<[^>]*>", " ", body).split())


def test_prices_are_in_the_currency_of_the_job(yard: Yard) -> None:
    """As on its order: in that the job is invoiced in, not in the yard's."""
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    in_crowns = f'{card}\n[invoice]\ncurrency = "NOK"\n'
    yard.run("load", "job", yard.write("job.toml", in_crowns))
    page, order = yard.folder / "pack.html", yard.folder / "order.html"
    yard.run("report", "evidence", "--job", JOB, "Q1", "--out", page)
    yard.run("issue", "variation-order", "--job", JOB, "Q1", "--out", order)

    assert "NOK 480.00" in words_of(order)
    assert "Price NOK" in words_of(page)
    assert "EUR" not in words_of(page)


def test_what_happened_begins_with_the_request(yard: Yard) -> None:
    """Day and by whom it came, and of each event the days and dates that it settles."""
    asked = ("--requested-by", "Jonna", "--requested-on", "2026-03-02", "--basis", "fixed_price")
    yard.run("request", "change", "--job", JOB, "Q2", "--title", "A gate", *asked)
    events = (
        "change,event,date,person,days_granted,days_requested,aware_on,received_on\n"
        "Q2,notified,2026-03-05,Ida,,,2026-03-03,2026-03-06\n"
        "Q2,submitted,2026-03-09,Ida,,1,,\n"
        "Q2,approved,2026-03-12,Jonna,4,,,\n"
    )
    price(yard, "Q2,1,carpenter,2")
    yard.run("load", "change-events", "--job", JOB, yard.write("events.csv", events))
    page = yard.folder / "pack.html"
    yard.run("report", "evidence", "--job", JOB, "Q2", "--out", page)
    said = words_of(page)

    assert [each for each in LIFE if each not in said] == []


def test_a_changed_byte_names_its_file(yard: Yard) -> None:
    """Of every file in turn, one byte; a file that is missing or too many is named as well."""
    folder = unpacked(yard, "--for", "adjudicator")
    listed = json.loads((folder / "manifest.json").read_text())["files"]
    for name in (each["file"] for each in listed):
        kept = (folder / name).read_bytes()
        (folder / name).write_bytes(bytes([kept[0] ^ 1]) + kept[1:])

        assert checked(folder) == (
            1,
            [f"{name}: changed, its SHA-256 is not the one in manifest.json"],
        )
        (folder / name).write_bytes(kept)
    (folder / "entries.csv").rename(folder / "other.csv")

    assert checked(folder) == (1, ["entries.csv: missing", "other.csv: not part of the pack"])


def tamper(change: Callable[[dict[str, Any]], None], proof: dict[str, Any]) -> list[str]:
    """Return what the script says of a proof that was changed."""
    other = json.loads(json.dumps(proof))
    change(other)
    return list(pack_seals.broken_seals(other))


LIFE = (
    "2 March 2026 requested – Jonna",
    "aware on 3 March 2026; received on 6 March 2026",
    "1 day asked for",
    "4 days granted",
)


def row_of(proof: dict[str, Any], table: str) -> dict[str, Any]:
    return next(row for row in proof["rows"] if row["table"] == table)


def hours_raised(proof: dict[str, Any]) -> None:
    row, place = row_of(proof, "line"), proof["columns"]["line"].index("ms")
    row["fields"][place] = str(int(row["fields"][place]) + 1)


def batch_left_out(proof: dict[str, Any]) -> None:
    del proof["batches"][1]


def root_replaced(proof: dict[str, Any]) -> None:
    proof["batches"][0]["tables"][0]["root"] = "0" * 64


def stamp_replaced(proof: dict[str, Any]) -> None:
    proof["stamp"] = "1." + "0" * 64


def row_made_up(proof: dict[str, Any]) -> None:
    proof["rows"].append({**row_of(proof, "line"), "table": "entry"})


def sibling_left_out(proof: dict[str, Any]) -> None:
    next(t for t in proof["trees"] if t["table"] == "line")["siblings"][0].popitem()


TAMPERED = [
    (hours_raised, "the rows do not lead to the root that was sealed"),
    (batch_left_out, "it does not follow the batch before it"),
    (root_replaced, "its head is not that of its fields"),
    (stamp_replaced, "the batches do not lead to the record stamp"),
    (row_made_up, "nothing proves it"),
    (sibling_left_out, "a hash is missing"),
]


def test_a_proof_that_was_changed_does_not_hold(yard: Yard) -> None:
    """Whoever changes a row, a tree, a batch or the stamp, and the manifest with it, is found."""
    proof = json.loads((unpacked(yard, "--for", "adjudicator") / "proof.json").read_text())
    said = [(what, tamper(change, proof)) for change, what in TAMPERED]

    assert tamper(lambda _: None, proof) == []
    assert [what for what, faults in said if not any(what in fault for fault in faults)] == []


def test_a_pack_has_nobody_elses_lines(yard: Yard) -> None:
    """Neither pages, entries nor proof hold what other entries of the file are of."""
    folder = unpacked(yard, "--for", "adjudicator", "--columns", WIDE)
    proof = json.loads((folder / "proof.json").read_text())
    words = b"".join(path.read_bytes() for path in folder.rglob("*.*") if path.suffix != ".pdf")
    lines = [row["row"] for row in proof["rows"] if row["table"] == "line"]

    # The third line is another's: neither its place, its hours nor its digest's salt is there.
    assert lines == [1, 2, 4]
    assert b"DECK" not in words
    assert b"foredeck" not in words
    assert b"18450000" not in words
    assert b"oak for the rail" in words


@pytest.mark.slow
def test_columns_that_name_people_are_left_out_unless_asked_for(yard: Yard) -> None:
    """By default an entry is its id, day, trade and hours; the proof is of digests alone."""
    folder = unpacked(yard)
    head, first, *_ = (folder / "entries.csv").read_text().splitlines()
    tables = {row["table"] for row in json.loads((folder / "proof.json").read_text())["rows"]}

    assert head == "entry,day,trade,hours,ms"
    assert first.split(",")[1:] == ["2026-03-17", "carpenter", "3.0000", "10800000"]
    assert tables == {"attachment", "change", "change_event", "document"}
    assert checked(folder)[0] == 0


@pytest.mark.slow
def test_hours_of_a_fixed_price_are_the_yards_own(yard: Yard) -> None:
    """Where the job does not show them, they are in a pack only if asked for."""
    card = (
        (SAMPLE / "job.toml")
        .read_text(encoding="utf-8")
        .replace("overrun = true", "overrun = false")
    )
    yard.run("load", "job", yard.write("job.toml", card))
    folder = unpacked(yard)
    kept = b"".join(path.read_bytes() for path in folder.rglob("*.*"))

    assert (folder / "entries.csv").read_text().splitlines()[0] == "entry,day,trade"
    assert b"10800000" not in kept
    assert checked(folder)[0] == 0


@pytest.mark.slow
def test_the_same_evidence_gives_the_same_bytes(yard: Yard) -> None:
    """A pack made twice is one; an attachment that was erased is listed and not in it."""
    out = yard.folder / "one.zip"
    yard.run("report", "evidence", "--job", JOB, "Q1", "--out", out)
    first = out.read_bytes()
    yard.run("report", "evidence", "--job", JOB, "Q1", "--out", out)
    again = out.read_bytes()
    attached = yard.rows(yard.run("show", "attachment", "--format", "csv").stdout)[0]["id"]
    yard.run("erase", "text", attached, "--reason", "asked to")
    folder = unpacked(yard)

    assert again == first
    assert not list(folder.glob("attachments/*"))
    assert checked(folder)[0] == 0


def test_whole_files_come_only_if_asked_for(yard: Yard) -> None:
    """A timesheet as it came, with the lines of others, is proved by its digest in the record."""
    folder = unpacked(yard, "--for", "adjudicator", "--whole-files")
    lines = yard.rows((folder / "sheet_lines.csv").read_text())
    notes = [(line["line"], json.loads(line["raw"])["hours"]) for line in lines]

    assert (folder / "sheets/01 week.csv").read_text() == SHEETS
    assert notes == [("2", "3"), ("3", "2.5"), ("5", "4")]
    assert checked(folder)[0] == 0


@pytest.mark.parametrize("count", [1, 31, 32, 33, 1024, 1025, 2100])
def test_siblings_lead_every_leaf_to_the_root(count: int) -> None:
    """Of trees of one, two and three levels, the first, the last and one between."""
    from hashlib import sha256

    from ledger.domain.seals import nodes, root

    leaves = [sha256(str(n).encode()).digest() for n in range(count)]
    expected = root(nodes(b"".join(leaves)))
    for wanted in ({0}, {count - 1}, {0, count // 2, count - 1}):
        beside = [
            {str(place): text for place, text in level.items()}
            for level in siblings(leaves, wanted)
        ]
        tree = {"row_count": count, "siblings": beside}
        given = sum(map(len, beside))

        assert pack_seals.root(tree, {n: leaves[n] for n in wanted}) == expected
        assert given <= len(beside) * len(wanted) * (FAN - 1)


@pytest.mark.slow
def test_a_zip_without_files_says_so(yard: Yard) -> None:
    """Of a change with nothing on it the pages say that, and the script proves its request."""
    request(yard, "Q2")
    out = yard.folder / "empty.zip"
    yard.run("report", "evidence", "--job", JOB, "Q2", "--out", out)
    with zipfile.ZipFile(io.BytesIO(out.read_bytes())) as pack:
        pack.extractall(yard.folder / "empty")
    code, said = checked(yard.folder / "empty")

    assert code == 0
    assert said[1].endswith(": 1")
    assert said[3] == "events proven by sealed rows: 1 in events.csv"


@pytest.mark.slow
def test_the_pages_can_be_read_by_everyone(yard: Yard, tmp_path: Path) -> None:
    """The PDF is PDF/UA-1; the page in a browser breaks no rule of axe-core, on a phone too."""
    folder = unpacked(yard, "--columns", WIDE)
    report = validation.validate_pdf_bytes(
        (folder / "evidence.pdf").read_bytes(), profile=validation.ValidationProfile.PDF_UA_1
    )
    out = yard.folder / "evidence.html"
    yard.run("report", "evidence", "--job", JOB, "Q1", "--out", out)
    found = {}
    with sync_playwright() as driver, browser(driver) as running:
        for width in (WIDTH, PHONE):
            text = out.read_text(encoding="utf-8")
            with shown(running, text, tmp_path, width) as opened:
                found[width] = violations(opened)

    assert [failure.rule_id for failure in report.failures if "STREAM" not in failure.rule_id] == []
    assert found == {WIDTH: [], PHONE: []}


def measured(yard: Yard) -> None:
    """Add boards laid in two weeks: 8 h for 4 of them, then 15 h for 5, which should take 10."""
    make(yard)
    head = "worker_id,date,hours,booking_code\n"
    load_sheets(yard, f"{head}C3,2026-03-10,8,DECK\nA1,2026-03-19,9.875,DECK\n")
    boards = "work_package,date,quantity_done\nDECK,2026-03-13,4\nDECK,2026-03-20,9\n"
    yard.run("load", "progress", "--job", JOB, yard.write("boards.csv", boards))


STRETCHES = ("DECK:2026-03-09..2026-03-13", "DECK:2026-03-14..2026-03-20")


@pytest.mark.slow
def test_a_measured_mile_stands_in_the_pack_with_its_caution(yard: Yard) -> None:
    """Its figures are those of `measured-mile`; the page's command names both stretches."""
    yard.copy_made_by(measured)
    named = ("--least-affected", STRETCHES[0], "--affected", STRETCHES[1])
    out = yard.folder / "pages.html"
    yard.run("report", "evidence", "--job", JOB, "Q1", "--out", out, *named)
    found = yard.json("measured-mile", "--job", JOB, *STRETCHES)
    page = " ".join(re.sub("<[^>]*>", " ", out.read_text(encoding="utf-8")).split())

    # 15 - 5 * 8 / 4 = 5 h: 50 % of 10, 33.33 % of 15.
    assert (found["expected_hours"], found["lost_hours"]) == (10, 5)
    assert "Expected at the least affected rate 10.00" in page
    assert "Lost, worked less expected 5.00" in page
    assert "50.00 % of the hours expected, 33.33 % of those worked" in page
    assert "whose risk it is, is for the contract and those who decide on it." in page
    assert " ".join(named) in re.sub("<[^>]*>", "", out.read_text(encoding="utf-8"))


@pytest.mark.slow
def test_a_measured_mile_without_units_makes_no_pack(yard: Yard) -> None:
    """A package that is not measured in units is refused, one stretch alone too."""
    out = yard.folder / "pages.html"
    words = ("report", "evidence", "--job", JOB, "Q1", "--out", out)
    alone = yard.run(*words, "--affected", STRETCHES[1], ok=False).stderr
    spans = ("RAIL:2026-03-09..2026-03-13", "RAIL:2026-03-14..2026-03-20")
    refused = yard.run(*words, "--least-affected", spans[0], "--affected", spans[1], ok=False)

    assert "--least-affected" in alone
    assert "RAIL" in refused.stderr
    assert "unit" in refused.stderr
    assert not out.exists()
