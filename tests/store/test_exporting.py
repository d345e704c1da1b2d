"""What is exported reads back as it stands in the book: CSV, Parquet and XLSX, every type."""

import csv
import re
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import polars as pl
import pytest

from ledger.domain.spreadsheets import without_mark
from ledger.store.book import IN_MEMORY, Book, connect
from ledger.store.described import COLUMNS_DESCRIBED, PAY, TABLES_DESCRIBED, UNITS
from ledger.store.dictionary import columns_of, tables_described
from ledger.store.schema import TABLES
from ledger.store.table import BIGINT, BOOLEAN, DATE, VARCHAR
from ledger.store.workbook_out import write_workbook
from tests.conftest import Yard
from tests.store._sample import opened
from tests.test_small_sample import build

Rows = list[tuple[Any, ...]]
AT = datetime.fromisoformat("2026-01-05T01:02:03.000004")
TEXTS = [
    *("plain", "", None, "=1+1", "'=1", "-7.50", "a\rb", "a\nb", "\t x ", "\x08"),
    *("_x0041_", "_x000d_", "<&>\"'", "\ufffe", "_", "🛶 Zoë", "x" * 32_767),
]  # fmt: skip


def described(name: str) -> set[str]:
    return {each.description for each in columns_of(name)}


def test_every_column_of_the_schema_is_described() -> None:
    """A new table, or a new column of one, fails here until someone says what it is."""
    tables = ["batch", *TABLES]
    unsaid = [
        f"{name}.{each.name}"
        for name in tables
        for each in columns_of(name)
        if not (COLUMNS_DESCRIBED.get(f"{name}.{each.name}") or COLUMNS_DESCRIBED.get(each.name))
    ]
    names = {each.name for name in tables for each in columns_of(name)}
    own = {f"{name}.{each.name}" for name in tables for each in columns_of(name)}

    assert unsaid == []
    assert list(tables_described()) == tables
    assert set(TABLES_DESCRIBED) == set(tables)
    assert set(COLUMNS_DESCRIBED) - names - own == set()
    assert set(UNITS) <= names


def test_columns_of_money_an_hour_are_pay_or_charge() -> None:
    """Who adds a column of rates or pay says which it is: pay is exported only when asked for."""
    found = {
        (table.name, name)
        for table in TABLES.values()
        for name in table.columns
        if re.search(r"(^|_)rate$|_per_hour$|gross|wage|salary|pay$", name)
    }

    assert found == PAY | {("charge_rate", "charge_per_hour"), ("document_line", "tax_rate")}


def unescaped(text: str) -> str:
    """Return a text of a workbook as a spreadsheet reads it."""
    return re.sub(r"_x([0-9A-Fa-f]{4})_", lambda found: chr(int(found[1], 16)), text)


def of_cell(value: Any, kind: str) -> Any:
    """Return a cell of a workbook as the type that the dictionary says."""
    if value is None:
        return None
    if kind == VARCHAR:
        return unescaped(value)
    if kind == DATE:
        return value.date() if isinstance(value, datetime) else date.fromisoformat(value)
    if kind == BOOLEAN:
        assert isinstance(value, bool)
        return value
    if kind == "TIMESTAMP":
        return datetime.fromisoformat(value)
    return int(str(value)) if kind == BIGINT else Decimal(str(value))


def sheets_of(path: Path) -> Rows:
    book = openpyxl.load_workbook(path)
    return [row for sheet in book.worksheets for row in list(sheet.values)[1:]]


def from_xlsx(path: Path, types: dict[str, str]) -> Rows:
    return [tuple(map(of_cell, row, types.values())) for row in sheets_of(path)]


def test_every_type_comes_back_from_a_workbook(tmp_path: Path) -> None:
    """Texts with every kind of letter, numbers of more than 15 digits, days before 1900."""
    texts: list[tuple[Any, ...]] = [(text, None, None, None, None, None) for text in TEXTS]
    numbers: Rows = [
        ("n", 999_999_999_999_999, Decimal("99999999999.9999"), date(1899, 1, 1), True, None),
        ("n", -(10**15), Decimal("-100000000000.0000"), date(1900, 3, 1), False, None),
        ("n", 2**63 - 1, Decimal("9" * 34 + ".9999"), date(9999, 12, 31), True, None),
        ("n", 0, Decimal("0.0001"), date(2026, 1, 5), None, AT),
    ]
    rows = texts + numbers
    types = {
        "text": VARCHAR,
        "whole": BIGINT,
        "money": "DECIMAL(38,4)",
        "day": DATE,
        "yes": BOOLEAN,
        "moment": "TIMESTAMP",
    }
    with connect(IN_MEMORY, read_only=False) as connection:
        head = ", ".join(f"{name} {kind}" for name, kind in types.items())
        connection.execute(f"CREATE TABLE t (n BIGINT, {head})")
        connection.executemany(
            "INSERT INTO t VALUES (?, ?, ?, ?, ?, ?, ?)", [(n, *row) for n, row in enumerate(rows)]
        )
        select = f"SELECT {', '.join(types)} FROM t ORDER BY n"
        write_workbook(Book(connection, IN_MEMORY), tmp_path / "t.xlsx", "t", types, select)
    cells = sheets_of(tmp_path / "t.xlsx")

    assert from_xlsx(tmp_path / "t.xlsx", types) == rows
    assert isinstance(cells[len(TEXTS)][1], int)
    assert cells[len(TEXTS) + 1][1] == "-1000000000000000"


@pytest.mark.slow
def test_rows_beyond_a_sheet_go_on_in_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sheet takes so many rows; none is lost, none doubled."""
    monkeypatch.setattr("ledger.store.workbook_out.ROWS", 11)
    monkeypatch.setattr("ledger.store.workbook_out.TOGETHER", 7)
    with connect(IN_MEMORY, read_only=False) as connection:
        select = "SELECT 'r' || range AS id, range AS n FROM range(25) ORDER BY range"
        types = {"id": VARCHAR, "n": BIGINT}
        write_workbook(Book(connection, IN_MEMORY), tmp_path / "t.xlsx", "t", types, select)

    assert openpyxl.load_workbook(tmp_path / "t.xlsx").sheetnames == ["t", "t 2", "t 3"]
    assert [n for _, n in sheets_of(tmp_path / "t.xlsx")] == list(range(25))


def from_parquet(path: Path, types: dict[str, str]) -> Rows:
    frame = pl.read_parquet(path)
    assert frame.columns == list(types)
    return frame.rows()


POLARS: dict[str, Any] = {
    VARCHAR: pl.String,
    BIGINT: pl.Int64,
    DATE: pl.Date,
    BOOLEAN: pl.Boolean,
    "TIMESTAMP": pl.Datetime("us"),
}


def from_csv(path: Path, types: dict[str, str]) -> Rows:
    """Return the rows as Polars reads them, texts without the mark before formulas."""
    schema = {
        name: POLARS.get(kind) or pl.Decimal(38, int(kind.rstrip(")").partition(",")[2]))
        for name, kind in types.items()
    }
    rows = pl.read_csv(path, schema=schema).rows()
    return [
        tuple(without_mark(each) if isinstance(each, str) else each for each in row) for row in rows
    ]


def in_the_book(yard: Yard, upto: int) -> dict[str, Rows]:
    """Return the rows of each table as the book itself gives them, id and standing left out."""
    with opened(yard.book) as connection:
        found = {}
        for name in ("batch", *TABLES):
            columns = [each.name for each in columns_of(name) if each.name not in MADE]
            order = "sequence" if name == "batch" else "batch, row"
            found[name] = connection.execute(
                f"SELECT {', '.join(columns)} FROM known_{name}({upto}) ORDER BY {order}"
            ).fetchall()
        return found


MADE = ("id", "standing")
READ: dict[str, Callable[[Path, dict[str, str]], Rows]] = {
    "csv": from_csv,
    "parquet": from_parquet,
    "xlsx": from_xlsx,
}


@pytest.mark.slow
@pytest.mark.parametrize("form", list(READ))
def test_every_table_reads_back_as_it_stands_in_the_book(yard: Yard, form: str) -> None:
    """As known at a batch, all rows and columns, pay among them; ids name their rows."""
    yard.copy_made_by(build)
    upto = len(yard.rows(yard.run("history", "--format", "csv").stdout)) - 2
    folder = yard.folder / form
    yard.run("--known-at", upto, "export", folder, "--as", form, "--with-pay")
    with (folder / "dictionary.csv").open(encoding="utf-8", newline="") as file:
        said = list(csv.DictReader(file))
    expected = in_the_book(yard, upto)

    for name in ("batch", *TABLES):
        types = {each["column"]: each["type"] for each in said if each["table"] == name}
        rows = [
            dict(zip(types, row, strict=True))
            for row in READ[form](folder / f"{name}.{form}", types)
        ]
        plain = [tuple(v for key, v in row.items() if key not in MADE) for row in rows]
        assert plain == expected[name], name
        if name != "batch":
            assert [r["id"] for r in rows] == [f"{name}:{r['batch']}.{r['row']}" for r in rows]
    assert sum(map(len, expected.values())) > 100
    kept = {path.name for path in (folder / "content").iterdir()}
    assert kept == {row[2] for row in expected["content"]}


def test_pay_is_exported_only_when_it_is_asked_for(stage: Yard) -> None:
    """Without --with-pay no column of cost rates is there, nor in the dictionary."""
    stage.run("export", stage.folder / "out", "--as", "csv")
    heads = {
        (path.stem, column)
        for path in (stage.folder / "out").glob("*.csv")
        for column in path.read_text(encoding="utf-8")
        .partition("\n")[0]
        .replace('"', "")
        .split(",")
    }
    said = (stage.folder / "out" / "dictionary.csv").read_text(encoding="utf-8")

    assert not PAY & heads
    assert ("rate", "effective_from") in heads
    assert ("entry", "ms") in heads
    assert "cost_per_hour" not in said
    assert "columns of pay are left out" in (stage.folder / "out" / "README.txt").read_text()
    refused = stage.run("export", stage.folder / "out", "--as", "xlsx", ok=False).stderr
    assert "is not empty" in refused
