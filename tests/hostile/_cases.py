"""What each file and folder of README.md is, and the command that is given it."""

import os
import socket
from collections.abc import Callable
from pathlib import Path

from tests.hostile import _archives as made
from tests.hostile._archives import HEAD, LINE, archive, ods_cell, rows_of, xlsx_parts

Words = tuple[str | Path, ...]
Case = Callable[[Path], Words]
CASES: dict[str, Case] = {}
SOUND = "worker_id,date,hours,booking_code\nA1,2026-03-02,8,DECK\n"
SHEETS = ("load", "sheets", "--job", "STAGE")
CELL = '<c r="{}" t="inlineStr"><is><t>x</t></is></c>'


def case(name: str) -> Callable[[Case], Case]:
    """Keep a case under its name in README.md."""

    def kept(function: Case) -> Case:
        assert name not in CASES
        CASES[name] = function
        return function

    return kept


def of_file(name: str, data: str | bytes, *words: str) -> None:
    """Keep a case that is one file."""

    def written(folder: Path) -> Words:
        path = folder / name
        path.write_bytes(data.encode() if isinstance(data, str) else data)
        return (*(words or SHEETS), path)

    case(name)(written)


def of_parts(name: str, parts: dict[str, str | bytes]) -> None:
    """Keep a case that is one workbook."""
    case(name)(lambda folder: (*SHEETS, archive(folder / name, parts)))


# --- what is no file -----------------------------------------------------------------------------


@case("/dev/zero")
def _zero(_: Path) -> Words:
    return (*SHEETS, "/dev/zero")


@case("/dev/zero as settings")
def _zero_settings(_: Path) -> Words:
    return ("load", "settings", "/dev/zero")


@case("pipe.csv")
def _pipe(folder: Path) -> Words:
    os.mkfifo(folder / "pipe.csv")
    return (*SHEETS, folder / "pipe.csv")


@case("pipe.toml as a layout")
def _layout_pipe(folder: Path) -> Words:
    os.mkfifo(folder / "pipe.toml")
    return ("load", "layout", folder / "pipe.toml")


@case("folder with a pipe")
def _folder_with_a_pipe(folder: Path) -> Words:
    (folder / "weeks").mkdir()
    os.mkfifo(folder / "weeks" / "a.csv")
    return (*SHEETS, folder / "weeks")


@case("socket.csv")
def _socket(folder: Path) -> Words:
    here = Path.cwd()
    os.chdir(folder)  # The address of a socket may not be long.
    try:
        with socket.socket(socket.AF_UNIX) as made_here:
            made_here.bind("socket.csv")
    finally:
        os.chdir(here)
    return (*SHEETS, folder / "socket.csv")


@case("folder as crew")
def _folder_as_crew(folder: Path) -> Words:
    (folder / "crew.csv").mkdir()
    return ("load", "crew", folder / "crew.csv")


@case("link to nothing")
def _link_to_nothing(folder: Path) -> Words:
    (folder / "week.csv").symlink_to(folder / "gone.csv")
    return (*SHEETS, folder / "week.csv")


@case("link to itself")
def _link_to_itself(folder: Path) -> Words:
    (folder / "week.csv").symlink_to(folder / "week.csv")
    return (*SHEETS, folder / "week.csv")


# --- names ---------------------------------------------------------------------------------------


def of_name(title: str, name: str | bytes, *words: str) -> None:
    def written(folder: Path) -> Words:
        path = folder / os.fsdecode(name)
        path.write_text(SOUND, encoding="utf-8")
        return (*(words or SHEETS), path)

    case(title)(written)


of_name("name with a line end", "we\nek.csv")
of_name("name with an escape", "week\x1b[2J.csv")
of_name("name that is not UTF-8", b"week\xff.csv")
of_name("name of 255 bytes", "w" * 251 + ".csv")
of_name("name of a pattern", "week*[1]?{a,b}%.csv")
of_name("name of an address", "s3:~week$HOME'\".csv")


@case("name of 256 bytes")
def _long_name(folder: Path) -> Words:
    return (*SHEETS, folder / ("w" * 252 + ".csv"))


@case("folder that names a column")
def _partition(folder: Path) -> Words:
    path = folder / "c3=99" / "week.csv"
    path.parent.mkdir()
    path.write_text(SOUND, encoding="utf-8")
    return (*SHEETS, path)


# --- texts ---------------------------------------------------------------------------------------

of_file("nuls.csv", b"\0" * 5_000_000)
of_file("one-line.csv", SOUND + "A1,2026-03-03,8," + "x" * 12_000_001)
of_file("one-line-crew.csv", "worker_id,name,trade,grade\n" + "x" * 12_000_001, "load", "crew")
of_file("columns.csv", ",".join(f"c{at}" for at in range(20_000)) + "\n" + "," * 19_999)
of_file("columns-crew.csv", ",".join(f"c{at}" for at in range(20_000)) + "\n", "load", "crew")
of_file(
    "rows-crew.csv", "worker_id,name,trade,grade\n" + "A1,Ada,hull,1\n" * 300_001, "load", "crew"
)


@case("huge.csv")
def _huge(folder: Path) -> Words:
    with (folder / "huge.csv").open("wb") as file:
        file.truncate(2_000_000_000)
    return (*SHEETS, folder / "huge.csv")


# --- TOML ----------------------------------------------------------------------------------------

SETTINGS = ("load", "settings")
LAYOUT = ("load", "layout")
of_file("deep.toml", f"[yard]\nname = {'[' * 100_000}{']' * 100_000}\n", *SETTINGS)
of_file("deep-lines.toml", "[yard]\nname = " + "[\n" * 100_000 + "]" * 500, *SETTINGS)
of_file("deep-keys.toml", ".".join(["a"] * 100_000) + " = 1\n", *SETTINGS)
of_file("deep-a-little.toml", f"[yard]\nname = {'[' * 30}{']' * 30}\n", *SETTINGS)
of_file("digits.toml", f"[yard]\nname = {'9' * 5_000}\n", *SETTINGS)
of_file("hex-digits.toml", f"[yard]\nname = 0x{'f' * 5_000}\n", *SETTINGS)
of_file("deep-layout.toml", f"blanks = {'[' * 100_000}\n", *LAYOUT)
of_file("nul-logo.toml", '[yard]\nlogo = "a\\u0000b.png"\n', *SETTINGS)
of_file("zero-logo.toml", '[yard]\nlogo = "/dev/zero"\n', *SETTINGS)


@case("huge.toml")
def _huge_toml(folder: Path) -> Words:
    with (folder / "huge.toml").open("wb") as file:
        file.truncate(200_000_000)
    return (*SETTINGS, folder / "huge.toml")


JOB_FILE = """[job]
code = "LATE"
title = "Barge"
owner = "Quay Society"
contract_sum = "1000.00"
contract_date = 2026-01-05
planned_start = {}
planned_finish = {}
"""
of_file("job-9999.toml", JOB_FILE.format("2026-01-12", "9999-12-31"), "load", "job")
of_file("job-0001.toml", JOB_FILE.format("0001-01-01", "2026-11-06"), "load", "job")
of_file("job-time.toml", JOB_FILE.format("2026-01-12T07:00:00", "2026-11-06"), "load", "job")


# --- workbooks -----------------------------------------------------------------------------------

SOUND_ROWS = rows_of(HEAD, LINE)
FAR = f'<row r="1048576">{CELL.format("XFD1048576")}</row>'
of_parts("far-cell.xlsx", xlsx_parts(SOUND_ROWS + FAR))
of_parts("far-cell-alone.xlsx", xlsx_parts(FAR))
of_parts("far-formula.xlsx", xlsx_parts(f'{SOUND_ROWS}<row><c r="XFD1048576"><f>1</f></c></row>'))
of_parts("far-row.xlsx", xlsx_parts(SOUND_ROWS + '<row r="99999999999"><c><v>1</v></c></row>'))
of_parts("wide.xlsx", xlsx_parts(f"<row>{CELL.format('XFD1')}</row>"))
of_parts("no-column.xlsx", xlsx_parts('<row><c r="ZZZZZZZZZZZZZ1"><v>1</v></c></row>'))
of_parts(
    "long-text-often.xlsx",
    xlsx_parts(
        SOUND_ROWS + '<row><c t="s"><v>0</v></c></row>' * 20_000,
        shared=f"<si><t>{'x' * 32_000}</t></si>",
    ),
)
of_parts(
    "no-such-text.xlsx",
    xlsx_parts(SOUND_ROWS + '<row><c t="s"><v>7</v></c></row>', shared="<si><t>a</t></si>"),
)
GROWING = "".join(f'<!ENTITY a{at} "&a{at - 1};&a{at - 1};">' for at in range(1, 40))
of_parts(
    "entities.xlsx",
    xlsx_parts(
        rows_of(HEAD, ("&a39;", *LINE[1:])),
        before=f'<!DOCTYPE a [<!ENTITY a0 "xxxxxxxxxx">{GROWING}]>',
    ),
)
of_parts("two-kinds.xlsx", {**xlsx_parts(SOUND_ROWS), "content.xml": "<a/>"})
of_parts("deep-elements.xlsx", xlsx_parts("<a>" * 100_000 + "</a>" * 100_000))
of_parts("picture-as-sheet.xlsx", xlsx_parts(SOUND_ROWS + FAR, sheet="media/image1.png"))
of_parts("many-parts.xlsx", xlsx_parts(SOUND_ROWS) | {f"xl/{n}.xml": "<a/>" for n in range(10_000)})


@case("part-twice.xlsx")
def _part_twice(folder: Path) -> Words:
    parts = xlsx_parts(SOUND_ROWS)
    name = "xl/worksheets/SHEET1.xml"
    return (*SHEETS, archive(folder / "part-twice.xlsx", {**parts, name: "<a/>"}))


@case("blanks.xlsx")
def _blanks(folder: Path) -> Words:
    return (*SHEETS, made.blanks(folder / "blanks.xlsx", 2_000))


@case("understated.xlsx")
def _understated(folder: Path) -> Words:
    parts = xlsx_parts(SOUND_ROWS + " " * 1_000_000)
    path = folder / "understated.xlsx"
    return (*SHEETS, made.understated(path, parts, "xl/worksheets/sheet1.xml", 500))


def of_ods(name: str, rows: str) -> None:
    of_parts(name, made.ods_parts(rows))


ROW, END = "<table:table-row{}>", "</table:table-row>"
COLUMNS, ROWS = (f' table:number-{each}-repeated="{{}}"' for each in ("columns", "rows"))
of_ods("columns.ods", ROW.format("") + ods_cell("x", COLUMNS.format(10**9)) + END)
of_ods("columns-before.ods", ROW.format("") + f"<table:table-cell{COLUMNS.format(10**9)}/>"
       + ods_cell("x") + END)  # fmt: skip
of_ods("rows.ods", ROW.format(ROWS.format(10**9)) + ods_cell("x") + END)
of_ods("rows-before.ods", ROW.format(ROWS.format(10**9)) + "<table:table-cell/>" + END
       + ROW.format("") + ods_cell("x") + END)  # fmt: skip
of_ods("spaces.ods", ROW.format("") + ods_cell('<text:s text:c="9999999999"/>') + END)
of_ods("text-often.ods", ROW.format(ROWS.format(100_000)) + ods_cell("x" * 10_000) + END)
of_ods("no-number.ods", ROW.format(ROWS.format("-1")) + ods_cell("x") + END)
of_ods("table-in-table.ods", ROW.format("") + "<table:table-cell><table:table/></table:table-cell>"
       + END)  # fmt: skip
of_ods("blank-to-the-end.ods", ROW.format(ROWS.format(1_048_574))
       + f"<table:table-cell{COLUMNS.format(16_384)}/>" + END)  # fmt: skip


# --- options -------------------------------------------------------------------------------------


def status_date(day: str) -> Case:
    """Return a case that asks for the figures of a day."""
    return lambda _: ("performance", "--job", "STAGE", "--status-date", day)


case("wait of nan")(lambda _: ("--wait", "nan", "history"))
case("wait without end")(lambda _: ("--wait", "inf", "history"))
case("wait below nothing")(lambda _: ("--wait=-1", "history"))
for _day in ("0000-01-01", "0001-01-01", "9999-12-31"):
    case(f"status date {_day}")(status_date(_day))
case("known at 0000-01-01")(lambda _: ("--known-at", "0000-01-01", "history"))
case("known at 0001-01-01")(lambda _: ("--known-at", "0001-01-01", "history"))
case("known at 9999-12-31")(lambda _: ("--known-at", "9999-12-31", "history"))
case("known at the end of a western day")(
    lambda _: ("--known-at", "9999-12-31T23:59:59-12:00", "history")
)
case("known at a long number")(lambda _: ("--known-at", "9" * 40, "history"))
case("recorded at year 1")(
    lambda _: ("--recorded-at", "0001-01-01T00:00:00+14:00", "load", "crew", "none.csv")
)
case("book in memory")(lambda _: ("--book", ":memory:", "new"))
case("book that is a folder")(lambda folder: ("--book", folder, "history"))
case("book that is a device")(lambda _: ("--book", "/dev/null", "history"))
case("book over a link")(lambda folder: _book_over_a_link(folder))
case("book beside a log")(lambda folder: _book_beside_a_log(folder))
case("stamp without a head")(lambda _: ("check", "--against", "1"))
case("stamp of four digits")(lambda _: ("check", "--against", "1.abcd"))
case("stamp of 63 digits")(lambda _: ("check", "--against", "1." + "a" * 63))
case("stamp of nothing")(lambda _: ("check", "--against", ""))


def _book_over_a_link(folder: Path) -> Words:
    (folder / "link.duckdb").symlink_to(folder / "elsewhere.duckdb")
    return ("--book", folder / "link.duckdb", "new")


def _book_beside_a_log(folder: Path) -> Words:
    (folder / "next.duckdb.wal").write_bytes(b"left")
    return ("--book", folder / "next.duckdb", "new")
