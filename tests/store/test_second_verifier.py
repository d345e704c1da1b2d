"""The seals can be verified from the export, without the program."""

import csv
import io
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain import seals
from ledger.store.schema import TABLES
from tests.conftest import Yard
from tests.store import _verifier
from tests.store._sample import SAMPLE, opened, tamper


@pytest.fixture(scope="module")
def exported(built: Yard) -> Path:
    """The small sample's export."""
    folder = built.folder / "archive"
    built.run("export", folder)
    return folder


def exported_from(yard: Yard, name: str) -> list[_verifier.Reckoned]:
    """Return what is reckoned of each batch from an export made now."""
    yard.run("export", yard.folder / name)
    return _verifier.reckoned(yard.folder / name)


def hostile(yard: Yard) -> Yard:
    """Return a yard whose texts hold quotes, commas, line ends, other scripts and empty texts."""
    yard.run(
        "load",
        "settings",
        yard.write(
            "settings.toml",
            '[yard]\nname = "Zwölf \\"Bögen\\", \\u6c34 & Söhne"\ntax_number = ""\n',
        ),
    )
    yard.run(
        "load",
        "crew",
        yard.write(
            "crew.csv",
            """
            worker_id,name,trade,grade,active_from
            A1,"Ann ""Nan"" O'Dell, sen.",joiner,lead,2026-01-01
            ,,,,
            B2,Björk Ærø 水,joiner,lead,2026-01-01
            """,
        ),
    )
    yard.run(
        "load",
        "sheets",
        yard.write(
            "sheets.csv",
            """
            sheet,worker_id,date,hours,booking_code,note
            S1,A1,2026-03-02,8,X,"a ""quote"", and
            two lines"
            S1,A1,2026-03-03,0.00001,X,
            S1,A1,2026-03-04,1,X,;|\t'
            """,
        ),
    )
    return yard


# The facts of what was put right; the sample has none, a book of the test below has all.
WITHOUT_FILE = {
    *("closing", "doubt_settled", "attendance", "attachment", "withdrawal"),
    *("daywork_item", "daywork_sheet", "hand_tag", "late_adjustment", "job_cost", "claim_percent"),
    *("document_line", "claim_posting", "certified", "payment", "final_account", "past_work"),
    *("crew_hours", "document", "sending", "worker_alias", "leave"),
    *("payroll_line", "payroll_row", "supplier_hours", "payroll_note", "sign_off"),
    *("replanned_package", "replanned_milestone", "replanned_day", "replanned_calendar"),
}
PUT_RIGHT = {
    *("reversal", "line_correction", "line_outcome", "reissued_line", "reissue_end"),
    *("entry", "posting"),
}


@pytest.mark.slow
def test_what_was_put_right_can_be_reckoned_from_the_export(yard: Yard) -> None:
    """Corrections, re-issues and reversals are sealed as all other facts are."""
    head = "sheet,worker_id,date,hours,booking_code\n"
    why = ("--reason", 'seen on the paper, "twice"')
    crew = "worker_id,name,trade,grade\nA1,Ada Brandt,joiner,lead\n"
    yard.run("load", "crew", yard.write("crew.csv", crew))
    sheets = head + "S1,A1,2026-03-02,x,X\nS2,A1,2026-03-02,3,X\n"
    yard.run("load", "sheets", yard.write("sheets.csv", sheets))
    yard.run("correct", "line", yard.json("held")[0]["held_line"], "hours=8", *why)
    yard.run("load", "sheets", yard.write("copy.csv", head + "S2,A1,2026-03-02,4,X\n"))
    yard.run("confirm", "reissue", yard.json("reissues")[0]["reissue"], *why)
    folder = yard.folder / "archive"
    yard.run("export", folder)
    actual = _verifier.reckoned(folder)

    assert {name for batch in actual for name in batch.roots} >= PUT_RIGHT
    assert actual == _verifier.as_exported(folder)


def test_every_root_and_head_can_be_reckoned_from_the_export(exported: Path) -> None:
    """Leaves, roots and heads, reckoned from the CSV files alone, are those of the book."""
    actual = _verifier.reckoned(exported)

    assert len(actual) == 15
    # Every kind of fact is there but those that the sample has no files for.
    sealed = {name for batch in actual for name in batch.roots}
    without_file = {"baseline_change", "erasure", "plan_line"} | WITHOUT_FILE
    assert set(TABLES) - sealed == without_file | PUT_RIGHT
    assert actual == _verifier.as_exported(exported)


def test_every_erasable_text_can_be_verified_from_the_export(exported: Path) -> None:
    """The digest that was sealed for a name, a note or a reason is that of its salt and text."""
    names = _verifier.table(exported, "worker_name")

    assert [row["name"] for row in names].count(None) == 0
    assert len({row["name_salt"] for row in names}) == len(names) == 3
    assert _verifier.texts_not_sealed(exported) == []


def test_every_sealed_content_can_be_verified_from_the_export(yard: Yard) -> None:
    """The digest and length by which a kept file is found are those of its bytes."""
    folder = yard.folder / "archive"
    yard.write("mark.svg", "<svg/>\n")
    settings = yard.write("settings.toml", '[yard]\nname = "Brackvane Slip"\nlogo = "mark.svg"\n')
    yard.run("load", "settings", settings)
    yard.run("export", folder)

    assert [row["byte_count"] for row in _verifier.table(folder, "content")] == ["7"]
    assert _verifier.contents_not_found(folder) == _verifier.texts_not_sealed(folder) == []
    assert _verifier.reckoned(folder) == _verifier.as_exported(folder)


def test_a_file_of_sheets_can_be_put_together_from_the_export(built: Yard, exported: Path) -> None:
    """The parts of a file are its bytes as it came, each found by its digest."""
    for name in ("sheets-week-10.csv", "sheets-week-12.csv"):
        assert _verifier.file_as_it_came(exported, name) == (SAMPLE / name).read_bytes()
    assert _verifier.contents_not_found(exported) == []


def test_an_erased_text_leaves_every_root_and_head(copied: Yard) -> None:
    """After erasing the export has neither text nor salt, and everything is reckoned as before."""
    before = exported_from(copied, "before")
    copied.run("erase", "text", "change_event:12.2", "batch:3", "--reason", "names a person")
    after = exported_from(copied, "after")
    folder = copied.folder / "after"
    event = next(
        r for r in _verifier.table(folder, "change_event") if (r["batch"], r["row"]) == ("12", "2")
    )

    assert after[: len(before)] == before
    assert after == _verifier.as_exported(folder)
    assert _verifier.texts_not_sealed(folder) == []
    assert (event["reference"], event["reference_salt"]) == (None, None)
    assert event["reference_hash"] is not None
    assert event["person"] in {row["handle"] for row in _verifier.table(folder, "person_name")}
    assert _verifier.erased(folder) == {("change_event", "12", "2"), ("batch", "3", "0")}


def test_hostile_texts_can_be_verified_from_the_export(yard: Yard) -> None:
    """Quotes, commas, line ends, other scripts and empty texts are exported without loss."""
    folder = yard.folder / "archive"
    hostile(yard).run("export", folder)
    notes = {row["note"] for row in _verifier.table(folder, "note")}
    settings = {row["name"]: row["value"] for row in _verifier.table(folder, "setting")}

    assert notes == {'a "quote", and\ntwo lines', ";|\t'"}
    assert settings["yard.name"] == 'Zwölf "Bögen", 水 & Söhne'
    assert settings["yard.tax_number"] == ""
    assert _verifier.texts_not_sealed(folder) == []
    assert _verifier.reckoned(folder) == _verifier.as_exported(folder)


def test_null_and_an_empty_text_are_told_apart(copied: Yard) -> None:
    """A null made an empty text by hand changes the root that the second verifier reckons."""
    tamper(copied.book, "what", "UPDATE what SET pay_class = '' WHERE batch = 15 AND row = 1")
    folder = copied.folder / "archive"
    copied.run("export", folder)
    *before, last = _verifier.reckoned(folder)
    *sealed_before, sealed_last = _verifier.as_exported(folder)

    assert before == sealed_before
    assert {n for n, root in last.roots.items() if root != sealed_last.roots[n]} == {"what"}
    assert last.head != sealed_last.head


@pytest.mark.parametrize("column", ["ms", "day", "sheet", "what"])
def test_a_changed_column_is_seen_by_the_second_verifier(copied: Yard, column: str) -> None:
    """Each kind of column, changed by hand in one row, changes the root of its table."""
    changed = {
        "ms": "ms + 1",
        "day": "day + 1",
        "sheet": "sheet || ' '",
        "what": "what + 1",
    }
    tamper(copied.book, "line", f"UPDATE line SET {column} = {changed[column]} WHERE row = 5")
    folder = copied.folder / "archive"
    copied.run("export", folder)

    assert _verifier.reckoned(folder)[-1].roots != _verifier.as_exported(folder)[-1].roots


def test_an_export_as_once_known_verifies_up_to_its_stamp(built: Yard, tmp_path: Path) -> None:
    """An export with --known-at holds the batches up to then, and these verify."""
    built.run("--known-at", "9", "export", tmp_path / "then")

    assert len(_verifier.reckoned(tmp_path / "then")) == 9
    assert _verifier.reckoned(tmp_path / "then") == _verifier.as_exported(tmp_path / "then")


@pytest.mark.parametrize("name", TABLES)
def test_the_seal_holds_every_column_of_its_table(built: Yard, name: str) -> None:
    """A table's row text has all its columns but its place; of an erasable one the digest."""
    with opened(built.book) as connection:
        found = connection.execute(
            "SELECT column_name FROM duckdb_columns() WHERE table_name = $name", {"name": name}
        ).fetchall()
    there = {row[0] for row in found} - {"batch", "row"}
    erasable = {each.removesuffix("_hash") for each in there if each.endswith("_hash")}
    unsealed = erasable | {f"{each}_salt" for each in erasable}

    columns = _verifier.sealed_columns(name, "2")

    assert sorted(columns) == sorted(there - unsealed)


def test_trees_have_32_hashes_below_a_node() -> None:
    """A level is made at least once; of 33 leaves the last node has one hash below it."""
    leaves = [sha256(b"%d" % number).digest() for number in range(33)]
    first = sha256(b"\x01" + b"".join(leaves[:32])).digest()
    last = sha256(b"\x01" + leaves[32]).digest()

    assert _verifier.tree_root(leaves[:1]) == sha256(b"\x01" + leaves[0]).digest()
    assert _verifier.tree_root(leaves[:32]) == first
    assert _verifier.tree_root(leaves) == sha256(b"\x01" + first + last).digest()


@given(st.integers(1, 2_100))
def test_both_verifiers_build_the_same_tree(count: int) -> None:
    """The nodes folded from blocks of leaves are those of the whole level."""
    leaves = [sha256(b"%d" % number).digest() for number in range(count)]
    blocks = [b"".join(leaves[first : first + 1024]) for first in range(0, count, 1024)]
    nodes = [node for block in blocks for node in seals.nodes(block)]

    assert seals.root(nodes) == _verifier.tree_root(leaves).hex()


@given(st.lists(st.lists(st.text(st.characters(codec="utf-8")), min_size=2), min_size=1))
def test_the_small_reader_reads_what_the_standard_one_reads(rows: list[list[str]]) -> None:
    """On text with every field quoted, the small reader agrees with the standard library's."""
    text = io.StringIO(newline="")
    csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\n").writerows(rows)

    assert _verifier.fields_of(text.getvalue()) == rows


def test_the_small_reader_tells_none_from_empty() -> None:
    """A bare empty field is None and a quoted one is empty, also at a line's end."""
    assert _verifier.fields_of('a,,""\n"",b,\n,"",c') == [
        ["a", None, ""],
        ["", "b", None],
        [None, "", "c"],
    ]
