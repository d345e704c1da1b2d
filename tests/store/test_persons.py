"""Persons are facts' handles: their names stand once, apart, and can be erased."""

import json
import zlib

import pytest

from ledger.cli.wording.reasons import words_of
from ledger.outcomes import Reason
from ledger.store.book import open_book
from tests._stage import JOB, SAMPLE, batches, load, load_all, table
from tests.conftest import Yard
from tests.store import _verifier
from tests.store._sample import opened, tamper

NAME, OTHER = "Ottoline Fennimore-Hake", "Berthold Quist"
WHY = ("--reason", "asked for by letter")
CHANGE = "change,title,requested_by,requested_on,change_basis\n"
EVENT = "change,event,date,person,reference\n"
SHEET = "sheet,worker_id,date,hours,booking_code,approved_by\n"
MOVE = "name,date,person,reference,work_package,trade,hours,contract_sum\n"
HELD_IN = {
    "baseline_change": "person",
    "change": "requested_by",
    "change_event": "person",
    "entry": "approved_by",
    "what": "approved_by",
}


def with_persons(yard: Yard) -> None:
    """Let one person ask, instruct and approve hours, and another once."""
    load_all(yard)
    card = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    listed = f'\n[[authority]]\nperson = "{NAME}"\n'
    yard.run("load", "job", yard.write("job.toml", card + listed))
    load(yard, "changes", f"{CHANGE}Q1,Rail,{NAME},2026-03-09,daywork\n")
    load(yard, "change-events", f"{EVENT}Q1,instructed,2026-03-10,{NAME},by word\n")
    rows = f"S1,A1,2026-03-02,8,DECK,{NAME}\nS1,A1,2026-03-03,8,DECK, {NAME} \n"
    load(yard, "sheets", f"{SHEET}{rows}S2,B2,2026-03-02,8,DECK,{OTHER}\n")


@pytest.fixture
def signed(yard: Yard) -> Yard:
    """The sample's job with a change and sheets; the book knows two persons."""
    return yard.copy_made_by(with_persons)


def handles(yard: Yard) -> dict[str, list[str | None]]:
    """Return the handles that stand in each table."""
    with opened(yard.book) as book:
        return {
            name: [
                who
                for (who,) in book.execute(f"SELECT {column} FROM {name} ORDER BY ALL").fetchall()
            ]
            for name, column in HELD_IN.items()
        }


def names(yard: Yard) -> list[tuple[str, str]]:
    return [(row["handle"], row["name"]) for row in table(yard, "person_name")]


def holds(yard: Yard, text: str) -> bool:
    """Return whether a text stands in the book's bytes, or in any content once it is unpacked."""
    with opened(yard.book) as book:
        rows = book.execute("SELECT packing, data FROM content WHERE data IS NOT NULL").fetchall()
    contents = [zlib.decompress(data) if packing else data for packing, data in rows]
    return any(text.encode() in each for each in [yard.book.read_bytes(), *contents])


def id_of(yard: Yard, name: str) -> str:
    return next(row["id"] for row in table(yard, "person_name") if row["name"] == name)


def test_the_same_person_in_many_rows_is_one_handle(signed: Yard) -> None:
    """Whoever asked, instructed and approved hours is there by one handle, and reads by name."""
    found = handles(signed)

    assert names(signed) == [("p1", NAME), ("p2", OTHER)]
    assert (found["change"], found["change_event"]) == (["p1"], ["p1"])
    assert found["what"] == ["p1", "p2"]
    assert [row["approved_by"] for row in table(signed, "entry")] == [NAME, NAME, OTHER]
    assert table(signed, "change")[0]["requested_by"] == NAME
    assert table(signed, "change_event")[0]["person"] == NAME


def test_a_name_is_found_composed_and_without_blanks_around_it(yard: Yard) -> None:
    """However its accents were typed a name is one person; another spelling is another."""
    yard.run(
        "load", "crew", yard.write("c.csv", "worker_id,name,trade,grade\nA1,Ada,joiner,lead\n")
    )
    rows = ("Rene\u0301", " Ren\u00e9", "\u00a0Ren\u00e9\u3000", "ren\u00e9", "")
    days = enumerate(rows, start=2)
    text = "".join(f"S1,A1,2026-03-{day:02d},8,DECK,{name}\n" for day, name in days)
    yard.run("load", "sheets", yard.write("sheets.csv", SHEET + text))

    assert sorted(name for _, name in names(yard)) == ["Ren\u00e9", "ren\u00e9"]
    assert {each for each in handles(yard)["what"] if each} == {"p1", "p2"}
    assert len(table(yard, "entry")) == len(rows)


def test_the_same_change_loaded_again_is_unchanged(signed: Yard) -> None:
    """The name typed is compared with the name that the handle stands for."""
    before = batches(signed)
    load(signed, "changes", f"{CHANGE}Q1,Rail,{NAME},2026-03-09,daywork\n")
    load(signed, "change-events", f"{EVENT}Q1,instructed,2026-03-10,{NAME},by word\n")

    assert batches(signed) == before
    load(signed, "changes", f"{CHANGE}Q1,Rail,{OTHER},2026-03-09,daywork\n")
    assert handles(signed)["change"] == ["p1", "p2"]
    assert table(signed, "change")[0]["requested_by"] == OTHER


def test_an_erased_person_is_nowhere_and_every_head_holds(signed: Yard) -> None:
    """One row erased takes the name off everything, the file's part too; other texts are named."""
    before = batches(signed)
    told = signed.run("erase", "text", id_of(signed, NAME), *WHY).stderr.splitlines()
    (job,) = table(signed, "job")

    assert told[:2] == ["person_name:9.1: name erased", "file_part:11.1: part of the file erased"]
    assert told[-1].startswith(f"the name also appears in {job['id']}; ")
    signed.run("erase", "text", job["id"], *WHY)
    assert signed.json("changes", "--job", JOB)["changes"][0]["instruction"] == "instructed"
    assert not holds(signed, NAME)
    assert batches(signed)[: len(before)] == before
    assert [row["approved_by"] for row in table(signed, "entry")] == ["erased", "erased", OTHER]
    assert "person_name:9.1: erased in batch 12: asked for by letter" in signed.run("check").stderr


@pytest.mark.slow
def test_pages_read_erased_where_a_name_was(signed: Yard) -> None:
    """The change, its list and the owner's statement still come, and the instruction counts."""
    page = signed.folder / "statement.html"
    words = ("--job", JOB, "--status-date", "2026-03-20")
    made = ("report", "variations", *words, "--out", page)
    before = signed.json("changes", *words)
    signed.run(*made)
    signed.run("erase", "text", id_of(signed, NAME), *WHY)
    after = signed.json("changes", *words)
    signed.run(*made)
    shown = signed.json("show", "change", "--job", JOB, "Q1")

    assert after["changes"] == before["changes"]
    assert after["changes"][0]["instruction"] == "instructed"
    assert page.read_text(encoding="utf-8").count("Q1") > 1
    assert [each["person"] for each in shown["life"]] == ["erased", "erased"]


@pytest.mark.slow
def test_a_name_typed_after_it_was_erased_is_a_new_persons(signed: Yard) -> None:
    """The erased one is not found again; who was known before it was is still read as then."""
    signed.run("erase", "text", id_of(signed, NAME), *WHY)
    load(signed, "change-events", f"{EVENT}Q1,stopped,2026-03-12,{NAME},by word\n")
    load(signed, "change-events", f"{EVENT}Q1,notified,2026-03-12,{OTHER},\n")
    then = ("--known-at", "11", "show", "change_event", "--format", "csv")

    assert names(signed) == [("p1", "erased"), ("p2", OTHER), ("p3", NAME)]
    assert handles(signed)["change_event"] == ["p1", "p2", "p3"]
    assert [row["person"] for row in signed.rows(signed.run(*then).stdout)] == ["erased"]
    assert signed.run("check").exit_code == 0


def test_known_before_a_person_came_the_names_of_then_are_read(signed: Yard) -> None:
    """At an earlier batch the book knows who was named by then."""
    then = ("--known-at", "9")
    rows = signed.rows(signed.run(*then, "show", "change", "--format", "csv").stdout)

    assert [row["requested_by"] for row in rows] == [NAME]
    people = signed.rows(signed.run(*then, "show", "person_name", "--format", "csv").stdout)
    assert [row["handle"] for row in people] == ["p1"]


@pytest.mark.slow
def test_a_fact_put_right_keeps_the_person_it_names(signed: Yard) -> None:
    """What follows of a withdrawn fact is worked out with the same persons, and no new handle."""
    (event,) = table(signed, "change_event")
    right = signed.write("right.csv", f"{EVENT}Q1,instructed,2026-03-11,{NAME},by word\n")
    signed.run("withdraw", "fact", event["id"], "--with", right, *WHY)

    assert names(signed) == [("p1", NAME), ("p2", OTHER)]
    assert handles(signed)["change_event"] == ["p1", "p1"]
    assert signed.run("check").exit_code == 0


@pytest.mark.slow
def test_a_correction_of_who_approved_goes_with_the_name(signed: Yard) -> None:
    """Old and new text of a corrected line are erased with the person who stands in them."""
    entry = signed.json("entries", "--worker", "B2")[0]["entry"]
    signed.run("correct", "entry", entry, f"approved_by={NAME}", *WHY)
    held = handles(signed)["entry"]
    told = signed.run("erase", "text", id_of(signed, NAME), *WHY).stderr
    (correction,) = table(signed, "line_correction")

    assert "p1" in held
    assert "line_correction:12.1: was, now erased" in told
    assert (correction["was"], correction["now"]) == ("erased", "erased")
    assert signed.run("check").exit_code == 0


@pytest.mark.slow
def test_what_is_copied_of_an_erased_person_stays_erased(signed: Yard) -> None:
    """An entry corrected after its approver was erased names nobody anew."""
    load(signed, "sheets", f"{SHEET}S3,B2,2026-03-04,8,DECK,{OTHER}\n")
    entry = signed.json("entries", "--day", "2026-03-04")[0]["entry"]
    signed.run("correct", "entry", entry, f"approved_by={NAME}", *WHY)
    signed.run("erase", "text", id_of(signed, NAME), *WHY)
    signed.run(
        "correct", "entry", table(signed, "entry")[-1]["id"].partition(":")[2], "hours=7", *WHY
    )

    assert handles(signed)["entry"].count("erased") == 1
    assert names(signed) == [("p1", "erased"), ("p2", OTHER)]
    assert table(signed, "entry")[-1]["approved_by"] == "erased"
    assert signed.run("check").exit_code == 0


def test_a_person_cannot_be_called_erased(signed: Yard) -> None:
    """What stands for an erased name is no name, so that nobody counts as listed by it."""
    told = load(signed, "changes", f"{CHANGE}Q2,Rail,erased,2026-03-09,daywork\n", ok=False)

    assert told == (
        'changes.csv:2: requested_by "erased" stands for a name that was erased; write the name\n'
        "1 fault; nothing was loaded\n"
    )


def test_a_handle_of_nobody_is_found(signed: Yard) -> None:
    """A fact whose person has no row among the names is named, whatever the seals say."""
    tamper(signed.book, "person_name", "DELETE FROM person_name WHERE handle = 'p2'")
    with open_book(signed.book) as book:
        found = book.records("store/persons_astray")

    assert [tuple(row.values()) for row in found] == [("what", 11, 1, "p2")]
    assert words_of(Reason("persons_astray", tuple(found[0].items()))) == (
        "what: batch 11 row 1: the handle p2 is not one person's"
    )


def test_persons_can_be_verified_from_the_export(signed: Yard) -> None:
    """Every handle is sealed as it stands and has one name, and an erased name changes no root."""
    signed.run("export", signed.folder / "before")
    signed.run("erase", "text", id_of(signed, NAME), *WHY)
    signed.run("export", signed.folder / "after")
    before, after = (_verifier.reckoned(signed.folder / each) for each in ("before", "after"))
    rows = _verifier.table(signed.folder / "after", "person_name")

    assert after[: len(before)] == before
    assert after == _verifier.as_exported(signed.folder / "after")
    assert _verifier.persons_not_named(signed.folder / "after") == []
    assert _verifier.texts_not_sealed(signed.folder / "after") == []
    assert [(row["handle"], row["name"], row["name_salt"]) for row in rows][:1] == [
        ("p1", None, None)
    ]
    assert json.dumps(_verifier.table(signed.folder / "after", "change")).count(NAME) == 0
