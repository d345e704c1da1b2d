"""The seals can be verified from the export, without the program."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.seals import merkle_root
from ledger.store.schema import TABLES
from tests.conftest import Yard
from tests.store import _verifier
from tests.store._sample import opened, tamper

# Columns that are sealed by a digest beside them, as names can be erased and content is long.
BY_DIGEST = {"worker_name": {"name", "name_salt"}, "content": {"data"}}

# Leaves of the test vectors in RFC 6962's reference implementation, and the tree's hash.
LEAVES = ["", "00", "10", "2021", "3031", "40414243"]
ROOTS = {
    1: "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    2: "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    3: "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
}


@pytest.fixture(scope="module")
def exported(built: Yard) -> Path:
    """The small sample's export."""
    folder = built.folder / "archive"
    built.run("export", folder)
    return folder


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
WITHOUT_FILE = {"closing", "doubt_settled", "attendance", "withdrawal"}
PUT_RIGHT = {"reversal", "line_correction", "reissued_line", "reissue_end"}


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
    without_file = {"baseline_change", "content", "plan_line"} | WITHOUT_FILE
    assert set(TABLES) - sealed == without_file | PUT_RIGHT
    assert actual == _verifier.as_exported(exported)


def test_every_sealed_name_can_be_verified_from_the_export(exported: Path) -> None:
    """The hash that was sealed for a worker's name is that of the salt and the name."""
    assert len(_verifier.table(exported, "worker_name")) == 3
    assert _verifier.names_not_sealed(exported) == []


def test_every_sealed_content_can_be_verified_from_the_export(yard: Yard) -> None:
    """The digest and length that were sealed for a kept file are those of its bytes."""
    folder = yard.folder / "archive"
    yard.write("mark.svg", "<svg/>\n")
    settings = yard.write("settings.toml", '[yard]\nname = "Brackvane Slip"\nlogo = "mark.svg"\n')
    yard.run("load", "settings", settings)
    yard.run("export", folder)

    assert [row["byte_count"] for row in _verifier.table(folder, "content")] == ["7"]
    assert _verifier.contents_not_sealed(folder) == []
    assert _verifier.reckoned(folder) == _verifier.as_exported(folder)


def test_hostile_texts_can_be_verified_from_the_export(yard: Yard) -> None:
    """Quotes, commas, line ends, other scripts and empty texts are exported without loss."""
    folder = yard.folder / "archive"
    hostile(yard).run("export", folder)
    notes = {row["note"] for row in _verifier.table(folder, "entry")}
    settings = {row["name"]: row["value"] for row in _verifier.table(folder, "setting")}

    assert notes == {'a "quote", and\ntwo lines', None, ";|\t'"}
    assert settings["yard.name"] == 'Zwölf "Bögen", 水 & Söhne'
    assert settings["yard.tax_number"] == ""
    assert _verifier.names_not_sealed(folder) == []
    assert _verifier.reckoned(folder) == _verifier.as_exported(folder)


def test_null_and_an_empty_text_are_told_apart(copied: Yard) -> None:
    """A null made an empty text by hand changes the root that the second verifier reckons."""
    tamper(copied.book, "entry", "UPDATE entry SET pay_class = '' WHERE row = 1")
    folder = copied.folder / "archive"
    copied.run("export", folder)
    *before, last = _verifier.reckoned(folder)
    *sealed_before, sealed_last = _verifier.as_exported(folder)

    assert before == sealed_before
    assert {n for n, root in last.roots.items() if root != sealed_last.roots[n]} == {"entry"}
    assert last.head != sealed_last.head


@pytest.mark.parametrize("column", ["salt", "ms", "day", "booking_code", "line_row"])
def test_a_changed_column_is_seen_by_the_second_verifier(copied: Yard, column: str) -> None:
    """Each kind of column, changed by hand in one row, changes the root of its table."""
    changed = {
        "salt": "unhex('00112233445566778899aabbccddeeff')",
        "ms": "ms + 1",
        "day": "day + 1",
        "booking_code": "booking_code || ' '",
        "line_row": "line_row + 100",
    }
    tamper(copied.book, "entry", f"UPDATE entry SET {column} = {changed[column]} WHERE row = 5")
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
    """A table's sealed text has all its columns but salt, place and what is sealed by digest."""
    with opened(built.book) as connection:
        found = connection.execute(
            "SELECT column_name FROM duckdb_columns() WHERE table_name = $name", {"name": name}
        ).fetchall()
    unsealed = {"batch", "row", "salt"} | BY_DIGEST.get(name, set())

    columns = _verifier.sealed_columns(name, "1")

    assert sorted(columns) == sorted({row[0] for row in found} - unsealed)


@pytest.mark.parametrize("count", ROOTS)
def test_trees_are_those_of_rfc_6962(count: int) -> None:
    """Both verifiers give the hashes that are published for trees as in RFC 6962."""
    leaves = [_verifier.sha256(b"\0" + bytes.fromhex(text)).digest() for text in LEAVES[:count]]

    assert _verifier.tree_hash(leaves).hex() == ROOTS[count]
    assert merkle_root(leaves) == ROOTS[count]


@given(st.integers(1, 70))
def test_both_verifiers_build_the_same_tree(count: int) -> None:
    """Pairing from below with an odd one carried up is RFC 6962's split at a power of two."""
    leaves = [_verifier.sha256(b"%d" % number).digest() for number in range(count)]

    assert merkle_root(leaves) == _verifier.tree_hash(leaves).hex()


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
