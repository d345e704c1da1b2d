"""A month's pack: the owner's part apart, every file that of the command it names."""

import io
import shlex
import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from ledger.reports.month_pack import MonthPack, PackedFile, zipped_month
from tests.billing._job import claimed
from tests.conftest import Yard
from tests.payroll._paid import paid

LAST = "2026-03-27"
AGAIN = ("To reproduce: ", "Erneut erstellen mit: ")
PACK = MonthPack(
    job="FERRY/2",
    title="Ferry",
    last=date(2026, 3, 27),
    stamp="9.abcd",
    instant=datetime(2026, 4, 2, 9, 30, tzinfo=UTC),
    closed_to=None,
    language="de",
    files=(
        PackedFile("owner", "statement.pdf", b"statement", "make the statement"),
        PackedFile("yard", "overrun.pdf", b"overrun", "make the overrun"),
    ),
)


def files_of(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as pack:
        return {name: pack.read(name) for name in pack.namelist()}


def test_the_owners_folder_says_nothing_of_the_yards() -> None:
    """What lies in the yard's folder neither stands in the owner's nor changes a byte of it."""
    other = replace(PACK, files=(PACK.files[0], PackedFile("yard", "x.csv", b"pay", "show pay")))
    packs = [files_of(zipped_month(each)) for each in (PACK, other)]
    owners = [{n: d for n, d in each.items() if "/owner/" in n} for each in packs]

    assert sorted(packs[0]) == [
        "2-2026-03-27/owner/record-stamp.txt",
        "2-2026-03-27/owner/statement.pdf",
        "2-2026-03-27/yard/overrun.pdf",
        "2-2026-03-27/yard/record-stamp.txt",
    ]
    assert owners[0] == owners[1]
    assert "Stichtag: 27. März 2026" in owners[0]["2-2026-03-27/owner/record-stamp.txt"].decode()
    assert zipped_month(PACK) == zipped_month(PACK)


def booked(yard: Yard) -> None:
    """Make a job with hours, some paid, its month closed, a claim to it, and an hour too late."""
    job = claimed(yard, "10000.00", rates="30")
    job.work("2026-02-26,8,P1,", "2026-03-02,9,P1,", "2026-03-27,6.5,P2,")
    paid(yard, "A1,2026-03-01,2026-03-15,normal,10")
    yard.run("close", "period", "--to", LAST)
    job.claim_to(LAST, "base 50")
    job.work("2026-03-03,1,P2,")


def commands_in(text: str) -> list[tuple[str, str]]:
    """Return each file that a stamp names with the command that makes it again."""
    found, name = [], ""
    for line in text.splitlines():
        if line and not line.startswith(" "):
            name = line
        for mark in AGAIN:
            if line.strip().startswith(mark):
                found.append((name, line.strip().removeprefix(mark)))
    return found


def made_again(yard: Yard, command: str, ending: str) -> bytes:
    """Return what a command that a stamp names writes or prints."""
    words = shlex.split(command)[1:]
    if "--out" not in words:
        return yard.run(*words).stdout.encode()
    out = yard.folder / f"again{ending}"
    yard.run(*words[:-1], out)
    return out.read_bytes()


@pytest.mark.parametrize(
    "asked",
    [
        ("performance", "--job", "CLAIM", "--status-date", LAST),
        pytest.param(
            ("reconciliation", "--from", "2026-03-01", "--to", LAST), marks=pytest.mark.slow
        ),
    ],
    ids=lambda asked: asked[0],
)
def test_a_page_made_again_by_its_record_stamp_says_what_is_closed(
    yard: Yard, asked: tuple[str, ...]
) -> None:
    """A report of a closed month is the same file with the stamp it prints, and without.

    Read at another stamp it is as closed to nothing.
    """
    yard.copy_made_by(booked)
    made = [yard.folder / f"{name}.json" for name in ("now", "then", "other")]
    said = yard.run("report", *asked, "--out", made[0]).stderr
    stamp = int(said.rpartition("record stamp ")[2].split(",")[0])
    for path, known_at in zip(made[1:], (stamp, stamp + 1), strict=True):
        yard.run("--known-at", known_at, "report", *asked, "--out", path)
    now, then, other = (path.read_text(encoding="utf-8") for path in made)

    assert then == now
    assert f'"closed_to":"{LAST}"' in now
    assert '"closed_to":null' in other


@pytest.mark.slow
def test_every_file_is_that_of_the_command_it_names(yard: Yard) -> None:
    """A closed month's pack has the same bytes twice, and each file those of its own command."""
    yard.copy_made_by(booked)
    words = ("report", "month", "--job", "claim", "--to", LAST, "--out")
    made = yard.run(*words, yard.folder).stderr
    pack = (yard.folder / "CLAIM-2026-03-27.zip").read_bytes()
    yard.run(*words, yard.folder / "twice.zip")
    files = files_of(pack)
    listed = {
        f"{folder}/{name}": command
        for folder in ("owner", "yard")
        for name, command in commands_in(files[f"CLAIM-{LAST}/{folder}/record-stamp.txt"].decode())
    }

    assert (yard.folder / "twice.zip").read_bytes() == pack
    assert "from 2026-03-01 to 2026-03-27, 12 files" in made
    assert f"as closed to {LAST}" in made
    assert len(listed) == len(files) - 2
    assert listed["owner/CLAIM-C-001.html"].endswith("--out FILE.html")
    assert [name for name in listed if name.endswith(".html")] == [
        "owner/job.html",
        "owner/CLAIM-C-001.html",
    ]
    for name, command in listed.items():
        data = files[f"CLAIM-{LAST}/{name}"]
        assert data == made_again(yard, command, Path(name).suffix), (name, command)


@pytest.mark.slow
def test_a_pack_has_the_entries_of_its_days(yard: Yard) -> None:
    """Entries are those from the first day to the last, as known when the month was closed."""
    yard.copy_made_by(booked)
    out = yard.folder / "pack.zip"
    yard.run(
        "report", "month", "--job", "CLAIM", "--from", "2026-02-26", "--to", LAST, "--out", out
    )
    text = files_of(out.read_bytes())[f"CLAIM-{LAST}/yard/entries.csv"].decode()

    assert [(row["day"], row["hours"]) for row in yard.rows(text)] == [
        ("2026-02-26", "8.0000"),
        ("2026-03-02", "9.0000"),
        ("2026-03-27", "6.5000"),
    ]


@pytest.mark.slow
def test_entries_are_listed_from_a_day_to_another(yard: Yard) -> None:
    """`entries --from --to` has both days and none outside them; turned round it is refused."""
    yard.copy_made_by(booked)
    days = ("--from", "2026-03-02", "--to", "2026-03-03")
    refused = yard.run("entries", "--from", LAST, "--to", "2026-03-02", ok=False)

    assert [row["day"] for row in yard.json("entries", *days)] == ["2026-03-02", "2026-03-03"]
    assert refused.stderr == "--to 2026-03-02: is before --from 2026-03-27\n"


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("--to", LAST, "--out", "pack.pdf"), "pack.pdf: unknown ending; use one of .zip\n"),
        (("--to", LAST, "--from", "2026-04-01", "--out", "pack.zip"), "--to 2026-03-27: is before"),
    ],
)
def test_a_pack_that_cannot_be_made_is_refused(
    yard: Yard, words: tuple[str, ...], message: str
) -> None:
    """Another ending and days turned round are refused before anything is made."""
    assert message in yard.run("report", "month", "--job", "CLAIM", *words, ok=False).stderr
