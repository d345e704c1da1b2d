"""Whoever forges a pack and redoes all digests that can be redone is found by its own script."""

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from ledger.reports.evidence.check_script import check_script
from ledger.reports.evidence.checking import check_pack
from ledger.reports.evidence.checking.pack_seals import COLUMNS, FOLLOWING, SEAL_VERSION
from ledger.store import schema
from ledger.store.schema import TABLES
from tests._stage import JOB
from tests.conftest import Yard, book_made_by
from tests.inputs._moves import price, request
from tests.reports._forgeries import FILES_FORGED, PROOF_FORGED, TABLES_FORGED, Forgery, cell
from tests.reports._pack import Pack, pack_of
from tests.reports.test_evidence_pack import WIDE, checked
from tests.reports.test_evidence_pack import make as make_one

FULL = ("--for", "adjudicator", "--whole-files", "--columns", f"{WIDE},rework")


def make(yard: Yard) -> None:
    """Make a book with an entry of the change corrected since, and a document of another change."""
    make_one(yard)
    entry = yard.json("entries", "--worker", "A1", "--day", "2026-03-17")[0]["entry"]
    yard.run("correct", "entry", entry, "hours=3.5", "--reason", "his own book")
    request(yard, "Q2")
    price(yard, "Q2,1,carpenter,2")
    yard.run("issue", "quotation", "--job", JOB, "Q2", "--out", yard.folder / "other.html")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Pack:
    """The pack of Q1 as it was made, and that of Q2."""
    yard = Yard(tmp_path_factory.mktemp("packs"))
    yard.book.write_bytes(book_made_by(make))
    return Pack(pack_of(yard, "Q1", *FULL), pack_of(yard, "Q2", *FULL))


@pytest.fixture
def pack(made: Pack, tmp_path: Path) -> Pack:
    """A copy of the pack to be forged."""
    shutil.copytree(made.folder, tmp_path / "pack")
    return Pack(tmp_path / "pack", made.other)


@pytest.mark.parametrize(
    ("forge", "fault"),
    [*PROOF_FORGED, *FILES_FORGED, *TABLES_FORGED],
)
def test_a_forgery_with_its_digests_redone_is_found(pack: Pack, forge: Forgery, fault: str) -> None:
    """Proof, files and tables hold only what the record has sealed, each once and as sealed."""
    forge(pack)
    found = pack.written().faults()

    assert [each for each in found if fault in each] != []


NO_JSON = "not valid JSON"
UNREAD = [
    ("proof.json", b"{", NO_JSON),
    ("proof.json", b"\xff", NO_JSON),
    ("proof.json", b"[" * 100_000, NO_JSON),
    ("proof.json", b'{"stamp": "1", "stamp": "2"}', NO_JSON),
    ("proof.json", b'{"stamp": "\\ud800"}', NO_JSON),
    ("proof.json", b"[]", "something is missing in it"),
    ("manifest.json", b"{", NO_JSON),
    ("manifest.json", b'{"files": []}', "something is missing in it"),
    ("entries.csv", b"", "not a CSV file in UTF-8 with a head"),
    ("entries.csv", b'entry,ms\n"1', "not a CSV file in UTF-8 with a head"),
    ("entries.csv", b"entry,ms\n1.1,2,3\n", "a row is not as long as the head"),
    ("events.csv", b"day,day\n1,2\n", "a column stands there twice"),
    ("sheet_lines.csv", b"sheet_line\n\xff\n", "not a CSV file in UTF-8 with a head"),
]


@pytest.mark.parametrize(("name", "text", "fault"), UNREAD)
def test_a_file_that_cannot_be_read_is_named(
    pack: Pack, name: str, text: bytes, fault: str
) -> None:
    """Whatever stands in a file, one line says which file it is."""
    (pack.folder / name).write_bytes(text)
    if name != "manifest.json":
        pack.redo()
    (found,) = pack.faults()

    assert found.startswith(f"{name}: ")
    assert fault in found


@pytest.mark.parametrize("wrong", [None, "true", 1])
def test_the_check_of_entries_cannot_be_switched_off(pack: Pack, wrong: object) -> None:
    """A manifest that says neither yes nor no is refused."""
    pack.manifest["with_sealed_entries"] = wrong

    assert pack.written().faults() == [
        "manifest.json: something is missing in it, or is of another kind than in a pack"
    ]


def test_any_byte_of_the_manifest_can_be_changed_without_a_traceback(pack: Pack) -> None:
    """The script says what it finds and names a file, as the command that anyone runs."""
    path = pack.folder / "manifest.json"
    kept = path.read_bytes()
    for place in range(0, len(kept), 97):
        path.write_bytes(kept[:place] + bytes([kept[place] ^ 1]) + kept[place + 1 :])
        found = pack.faults()

        assert all(": " in each for each in found)
    path.write_bytes(b"{" + kept)

    assert checked(pack.folder)[0] == 1


def test_stamps_that_were_had_before_are_compared(pack: Pack) -> None:
    """One of an earlier batch proves the record; another head of a batch here is a fault."""
    batch = pack.proof["batches"][0]
    number, digest = batch["sequence"], batch["head"]
    words = [sys.executable, "-I", "-S", "check_pack.py", f"{number}.{digest}", f"1.{'0' * 64}"]
    found = subprocess.run(words, cwd=pack.folder, capture_output=True, text=True, check=False)

    assert number > 1
    assert found.returncode == 0
    assert f"record stamp {number}.{digest}, which you gave, is of this record" in found.stdout
    assert "which you gave, is of a batch that is not here" in found.stdout
    assert "compare it with a stamp" not in found.stdout
    assert pack.faults(f"{number}.{'0' * 64}") == [
        f"{number}.{'0' * 64}: not of this record, whose batch {number} has another head"
    ]
    assert pack.faults(digest[:8]) == [
        f"{digest[:8]}: not a record stamp, which is a number, a point and 64 digits"
    ]


def test_nothing_in_a_pack_moves_what_a_screen_shows(pack: Pack) -> None:
    """Marks that move a terminal's writing are written out."""
    cell("entries.csv", "entry", "1.1\x1b[2K\bproven")(pack)
    code, said = checked(pack.written().folder)

    assert code == 1
    assert said[0] == "entries.csv: entry 1.1<U+001B>[2K<U+0008>proven: no sealed row has it"


def test_what_is_proven_and_what_is_not_is_said(pack: Pack) -> None:
    """Each kind with its number, and all that rests on the manifest or the stamp alone."""
    code, said = checked(pack.folder)

    # 3.5, 2.5 and 4 h; the request and its approval.
    assert code == 0
    assert said[2:5] == [
        "digests proven by sealed rows: 1 in documents/, 1 in attachments/, 1 in sheets/",
        "events proven by sealed rows: 2 in events.csv",
        "entries proven by sealed rows: 3, 10.0000 h in all; of each entry, day, worker, hours, "
        "code, sheet, line, rework, ms",
    ]
    assert said[5] == (
        "not proven, on the word of manifest.json alone: evidence.pdf; person, reference in "
        "events.csv; name, trade, file, note in entries.csv; file, raw in sheet_lines.csv"
    )
    assert said[6].startswith("all of this rests on that record stamp")
    assert said[7].startswith("what was left out cannot be seen")


def test_the_columns_are_those_that_the_book_seals() -> None:
    """The script has the sealed columns of each table by itself, as a proof could rename them."""
    found = {table: tuple(columns.split()) for table, columns in COLUMNS.items()}

    assert found == {table: TABLES[table].sealed for table in COLUMNS}
    assert {name for name in COLUMNS if TABLES[name].follows_lines} == set(FOLLOWING)
    assert SEAL_VERSION == schema.SEAL_VERSION


def test_the_script_is_one_file_of_the_standard_library() -> None:
    """Its parts have no name in common, and none of what it imports is the program's."""
    script = ast.parse(check_script())
    names = [node.name for node in script.body if isinstance(node, ast.FunctionDef | ast.ClassDef)]
    modules = [
        module.split(".")[0]
        for node in ast.walk(script)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for module in ([node.module or ""] if isinstance(node, ast.ImportFrom) else imported(node))
    ]

    assert sorted(set(names)) == sorted(names)
    assert set(modules) <= sys.stdlib_module_names
    assert ast.get_docstring(script) == check_pack.__doc__.strip()


def imported(node: ast.Import) -> list[str]:
    return [each.name for each in node.names]
