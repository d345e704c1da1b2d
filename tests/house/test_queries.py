"""Every file of queries/ is one statement, true to its header, and reads through macros only."""

import datetime
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import Any

import duckdb
import pytest

from ledger.domain.doubts import KINDS
from ledger.store.book import Book
from ledger.store.queries import no_rows
from tests._engine import own_engine

ROOT = Path(__file__).resolve().parents[2]
QUERIES = ROOT / "queries"
MACROS = QUERIES / "macros"

# What a query may read apart from macros, its own CTEs and the lines staged for it.
GENERATORS = {"range", "generate_series", "unnest"}
# What the engine says of the book itself: `check` looks whether the refusal triggers are there.
CATALOGUE = {"duckdb_triggers", "duckdb_functions", "duckdb_tables", "duckdb_keywords"}

COLUMN = re.compile(r"(\w+) ([A-Z][A-Z ]*(?:\(\d+, ?\d+\))?(?:\[\])?)(?=,| |$)")
INPUT = re.compile(r"\$(\w+) ([A-Z][A-Z ]*(?:\(\d+, ?\d+\))?(?:\[\])?)?")
SPELLINGS = {"TIMESTAMPTZ": "TIMESTAMP WITH TIME ZONE"}
SAMPLES: dict[str, object] = {
    "VARCHAR": "",
    "VARCHAR[]": [],
    "DATE": datetime.date(2026, 1, 5),
    "DATE[]": [],
    "TIMESTAMPTZ": datetime.datetime(2026, 1, 5, tzinfo=datetime.UTC),
    "TIMESTAMP": datetime.datetime(2026, 1, 5, tzinfo=datetime.UTC).replace(tzinfo=None),
    "BIGINT": 0,
    "BIGINT[]": [],
    "INTEGER": 0,
    "BOOLEAN": False,
    "BOOLEAN[]": [],
    "DECIMAL": Decimal(0),
    "BLOB": b"",
}


@dataclass(frozen=True)
class Query:
    """One file: its place under queries/ and its text."""

    path: str
    text: str

    @property
    def name(self) -> str:
        return Path(self.path).stem

    @cached_property
    def header(self) -> dict[str, str]:
        """The parts of the leading comment: "what" after the name, "In" and "Out"."""
        parts: dict[str, str] = {}
        part = ""
        for line in self.text.splitlines():
            if not line.startswith("--"):
                break
            word, colon, rest = line[2:].strip().partition(":")
            if colon and word in {self.name, "In", "Out"}:
                part = "what" if word == self.name else word
                parts[part] = rest.strip()
            else:
                parts[part] = f"{parts.get(part, '')} {line[2:].strip()}".strip()
        return parts

    @property
    def inputs(self) -> dict[str, str]:
        """Each `$name` of the header's In with its type, "" where it has none."""
        return dict(INPUT.findall(self.header.get("In", "")))

    @property
    def columns(self) -> list[tuple[str, str]]:
        """Each column of the header's Out with its type."""
        parts = [part.strip() for part in self.header.get("Out", "").split(";")]
        found = [match.groups() for part in parts if (match := COLUMN.match(part))]
        return [(name, SPELLINGS.get(kind.strip(), kind.strip())) for name, kind in found]

    @cached_property
    def tree(self) -> dict[str, Any]:
        """DuckDB's own reading of the text."""
        row = duckdb.execute("SELECT json_serialize_sql($sql)", {"sql": self.text}).fetchone()
        assert row is not None
        return dict(json.loads(row[0]))

    @property
    def staged(self) -> set[str]:
        return {name for kind, name in reads(self.tree) if kind == "table"}


def reads(node: Any, scope: frozenset[str] = frozenset()) -> Iterator[tuple[str, str]]:
    """Yield ("table" | "macro", name) for all that is read; a CTE hides a table only in sight."""
    if isinstance(node, list):
        for child in node:
            yield from reads(child, scope)
    if not isinstance(node, dict):
        return
    for step in node.get("cte_map", {}).get("map", []):
        name = step["key"].lower()
        itself = {name} if recursive(step["value"]) else set()
        yield from reads(step["value"], scope | itself)
        scope |= {name}
    if node.get("type") == "BASE_TABLE":
        path = ".".join(node["qualified_name"]["path"]).lower()
        if path not in scope:
            yield "table", path
    if node.get("type") == "TABLE_FUNCTION":
        yield "macro", node["function"]["function_name"].lower()
    for key, child in node.items():
        if key != "cte_map":
            yield from reads(child, scope)


def recursive(step: Any) -> bool:
    """Return whether a CTE may read itself."""
    return '"RECURSIVE_CTE_NODE"' in json.dumps(step)


def complaints_on_reading(query: Query, macros: set[str]) -> Iterator[str]:
    """Yield what the query reads and should not; `macros` are those that the book defines."""
    owner = query.path.startswith("owner/")
    for kind, name in sorted(set(reads(query.tree))):
        if kind == "table" and (owner or not name.startswith("staged_")):
            yield f"queries/{query.path}: reads the table {name}, not a macro"
        if kind == "macro" and name not in GENERATORS:
            if owner and not name.startswith("owner_"):
                yield f"queries/{query.path}: reads {name}; the owner's queries read owner_* only"
            elif name not in macros | CATALOGUE:
                yield f"queries/{query.path}: reads {name}, which no migration defines"


def complaints_on_form(query: Query) -> Iterator[str]:
    """Yield what is wrong with the header and the statement."""
    where = f"queries/{query.path}"
    for part in ("what", "In", "Out"):
        if not query.header.get(part):
            yield f"{where}: the header has no {query.name if part == 'what' else part}"
    statements = duckdb.extract_statements(query.text)
    if len(statements) != 1 or statements[0].type != duckdb.StatementType.SELECT:
        yield f"{where}: {len(statements)} statements, not one SELECT"
        return
    used = set(statements[0].named_parameters)
    if used != set(query.inputs):
        yield f"{where}: In names {sorted(query.inputs)}, the statement {sorted(used)}"
    modifiers = query.tree["statements"][0]["node"]["modifiers"]
    if not any(modifier["type"] == "ORDER_MODIFIER" for modifier in modifiers):
        yield f"{where}: no ORDER BY"


def all_queries() -> list[Query]:
    paths = sorted(set(QUERIES.rglob("*.sql")) - set(MACROS.rglob("*.sql")))
    return [Query(p.relative_to(QUERIES).as_posix(), p.read_text(encoding="utf-8")) for p in paths]


def sample(kind: str) -> object:
    """Return a value of a header's type, so that a query can be run on an empty book."""
    return SAMPLES[kind.split("(")[0].strip()]


def output(query: Query, book: duckdb.DuckDBPyConnection) -> list[tuple[str, str]]:
    """Return the columns that the query gives: name and DuckDB's type."""
    book.execute(query.text, {name: sample(kind) for name, kind in query.inputs.items()})
    return [(column[0], str(column[1])) for column in book.description or []]


GOOD = """\
-- hours_by_place: time booked to each place.
-- In:  $job VARCHAR; $upto BIGINT, the last batch that counts
-- Out: booked_to VARCHAR; booked_ms DECIMAL(38,0), milliseconds;
--      a row per place
WITH lines AS (SELECT * FROM staged_lines),
entry AS (SELECT booked_to, ms FROM known_entry($upto) WHERE job = $job)
SELECT booked_to, sum(ms) AS booked_ms FROM entry JOIN lines USING (booked_to)
GROUP BY booked_to ORDER BY booked_to
"""


def form(text: str, path: str = "hours_by_place.sql") -> list[str]:
    return list(complaints_on_form(Query(path, text)))


def reading(text: str, path: str = "hours_by_place.sql") -> list[str]:
    return list(complaints_on_reading(Query(path, text), {"known_entry", "owner_entry"}))


def test_a_header_is_read_as_written() -> None:
    """Inputs and columns come from the header's own words, continued lines included."""
    actual = Query("hours_by_place.sql", GOOD)

    assert actual.inputs == {"job": "VARCHAR", "upto": "BIGINT"}
    assert actual.columns == [("booked_to", "VARCHAR"), ("booked_ms", "DECIMAL(38,0)")]
    assert form(GOOD) == []
    assert reading(GOOD) == []


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("-- hours_by_place:", "-- hours:", "the header has no hours_by_place"),
        ("-- Out:", "-- Gives:", "the header has no Out"),
        ("$job VARCHAR; ", "", "In names ['upto'], the statement ['job', 'upto']"),
        (" ORDER BY booked_to", "", "no ORDER BY"),
        ("GROUP BY", ";SELECT 1 --", "2 statements, not one SELECT"),
    ],
)
def test_a_query_of_another_form_is_refused(old: str, new: str, expected: str) -> None:
    """A header that is not true, a second statement or a loose order is refused."""
    actual = form(GOOD.replace(old, new))

    assert actual == [f"queries/hours_by_place.sql: {expected}"]


@pytest.mark.parametrize(
    ("path", "old", "new", "expected"),
    [
        ("q.sql", "known_entry($upto)", "entry", "reads the table entry, not a macro"),
        ("q.sql", "staged_lines", "main.line", "reads the table main.line, not a macro"),
        ("q.sql", "known_entry", "known_pay", "reads known_pay, which no migration defines"),
        ("q.sql", "staged_lines", "glob('*')", "reads glob, which no migration defines"),
        (
            "owner/q.sql",
            "staged_lines",
            "known_entry($upto)",
            "reads known_entry; the owner's queries read owner_* only",
        ),
    ],
)
def test_a_query_that_reads_past_the_macros_is_refused(
    path: str, old: str, new: str, expected: str
) -> None:
    """A table, a CTE of a table's own name, another function or a cost of ours is refused."""
    text = GOOD.replace(old, new)
    if path.startswith("owner/"):
        text = text.replace("AS (SELECT booked_to, ms FROM known_", "AS (SELECT 1 FROM owner_")
    actual = reading(text, path)

    assert actual == [f"queries/{path}: {expected}"]


def test_every_query_has_a_true_header_and_one_statement() -> None:
    """Each file has its name, In and Out, one SELECT, the inputs it names, and an order."""
    queries = all_queries()
    actual = [text for query in queries for text in complaints_on_form(query)]

    assert len(queries) > 0
    assert actual == []


def test_every_query_reads_through_macros(yard: Any) -> None:
    """No query reads a table, and the owner's queries read the owner's macros only."""
    yard.new()
    with own_engine(yard.book, read_only=True) as book:
        rows = book.execute(
            "SELECT function_name FROM duckdb_functions() "
            "WHERE function_type = 'table_macro' AND NOT internal"
        ).fetchall()
    macros = {name for (name,) in rows}
    actual = [text for query in all_queries() for text in complaints_on_reading(query, macros)]

    assert actual == []


def test_every_query_gives_the_columns_it_names(yard: Any) -> None:
    """Out lists the real columns with their types, and none is a DOUBLE."""
    yard.new()
    queries = [query for query in all_queries() if not query.staged]
    with own_engine(yard.book, read_only=True) as book:
        actual = {query.path: output(query, book) for query in queries}

    assert actual == {query.path: query.columns for query in queries}
    assert [path for path, columns in actual.items() if "DOUBLE" in dict(columns).values()] == []


def test_what_has_no_rows_has_the_columns_of_its_query() -> None:
    """A table staged where a query can give nothing has the names and types of its Out."""
    queries = {query.path.removesuffix(".sql"): query.columns for query in all_queries()}
    actual = {
        name: duckdb.execute(f"CREATE OR REPLACE TEMP TABLE none_staged ({no_rows(name)})")
        .execute("DESCRIBE none_staged")
        .fetchall()
        for name in queries
    }

    assert {name: [row[:2] for row in rows] for name, rows in actual.items()} == queries


def put_through_all(yard: Any) -> None:
    """Load, hold, correct, re-issue, close, withdraw, reverse, rule: each staged query is asked."""
    sheets = "sheet,worker_id,date,hours,booking_code\nS1,W1,2026-01-12,7.5,FRAME\n"
    strange = yard.write("strange.csv", sheets.replace("W1", "W9"))
    yard.run("load", "sheets", yard.write("sheets.csv", sheets), strange)
    yard.run("load", "sheets", "--job", "K", yard.write("with-job.csv", sheets))
    crew = "worker_id,name,trade,grade,active_from\nW1,Ada Lind,joiner,skilled,2026-01-05\n"
    yard.run("held", "--by", "reason")
    job = '[job]\ncode = "J"\ntitle = "J"\nowner = "O"\ncontract_sum = "1.00"\n'
    dates = "contract_date = 2026-01-05\nplanned_start = 2026-01-05\nplanned_finish = 2026-01-30\n"
    yard.run("load", "job", yard.write("job.toml", job + dates))
    yard.run("performance", "--job", "J", "--status-date", "2026-01-18")
    yard.run("close", "period", "--to", "2026-01-18")
    yard.run("kept")
    yard.run("load", "crew", yard.write("crew.csv", crew))
    wrong = "sheet,worker_id,date,hours,booking_code\nS2,W1,2026-01-12,x,FRAME\n"
    beside = sheets.replace("2026-01-12", "2026-01-13").replace("S1", "S4")
    both = (yard.write("wrong.csv", wrong), yard.write("beside.csv", beside))
    yard.run("load", "sheets", *both)
    line = yard.json("held")[-1]["held_line"]
    yard.run("correct", "line", line, "hours=8", "--reason", "asked")
    again = sheets.replace("7.5", "6").replace("S1", "S2")
    yard.run("load", "sheets", yard.write("again.csv", again))
    yard.run("load", "sheets", yard.write("again.csv", again))
    waits = yard.json("reissues")[0]["reissue"]
    yard.run("confirm", "reissue", waits, "--reason", "asked")
    more = sheets.replace("7.5", "5").replace("S1", "S3")
    yard.run("load", "sheets", yard.write("more.csv", more))
    rate = "trade,effective_from,cost_per_hour\njoiner,2026-01-05,30\n"
    yard.run("load", "rates", yard.write("rates.csv", rate))
    yard.run("withdraw", "fact", yard.json("show", "rate")[0]["id"], "--reason", "asked")
    yard.run("doubts")
    why = ("--reason", "asked")
    yard.run("correct", "entries", "--file", "more.csv", "hours=6", *why)
    yard.run("reverse", "file", "more.csv", *why)
    named = ("--job", "J", yard.write("named.csv", again))
    yard.run("load", "sheets", *named)
    lost = '[non_productive]\nFRAME = "weather"\n'
    yard.run("load", "settings", yard.write("lost.toml", lost))
    second = job.replace('"J"', '"K"') + dates
    yard.run("load", "job", yard.write("second.toml", second), ok=False)
    yard.run("trace", yard.json("entries")[0]["entry"])
    put_odd_files_through(yard, sheets)
    by_name = sheets.replace("worker_id", "worker_name").replace("W1", "A. Lind")
    yard.run("load", "sheets", yard.write("by-name.csv", by_name))
    yard.run("confirm", "alias", "A. Lind", "--worker", "W1", *why)


def put_odd_files_through(yard: Any, sheets: str) -> None:
    """Load days far apart, notes that a rule looks at, a file that grew, and hours shared out."""
    apart = sheets.partition("\n")[0] + "\n\nS9,W7,2026-06-12,x,FRAME\nS9,W7,2026-06-13,1,FRAME\n"
    yard.run("load", "sheets", yard.write("apart.csv", apart))
    noted = "worker_id,date,hours,booking_code,note\nW1,2026-06-20,1,FRAME,by lamp\n"
    yard.run("load", "sheets", yard.write("noted.csv", noted))
    rule = "rule,priority,note_contains,booked_to,cause\nlamp,1,lamp,non_productive,weather\n"
    yard.run("load", "rules", yard.write("rules.csv", rule))
    yard.run("load", "sheets", yard.write("ruled.csv", noted.replace("06-20", "06-21")))
    # The first part of the longer file is known.
    rows = "".join(f"L{number},W1,2026-01-{number},1,FRAME\n" for number in range(10, 24))
    for name, last in (("long.csv", ""), ("longer.csv", "L10,W1,2026-01-10,2,FRAME\n")):
        yard.run("load", "sheets", yard.write(name, sheets.partition("\n")[0] + "\n" + rows + last))
    shared = "rule,priority,worker_id,share_by,rework\nall,0,W1,crew_hours,setting_out\n"
    yard.run("load", "rules", yard.write("shared.csv", shared))


def tag_all(yard: Any) -> None:
    """Tag what is booked to lost time, and look at what is left to tag."""
    yard.run("tag", "entries", "--place", "weather", "--to", "J untagged", "--reason", "asked")
    yard.run("untagged")
    yard.run("reconciliation", "--from", "2026-01-01", "--to", "2026-01-31")
    above = "[overtime]\nweekly_hours = 40\npremium_percent = 50\n"
    yard.run("load", "settings", yard.write("above.toml", above))
    yard.run("hours")
    head = "worker_id,period_start,period_end,pay_class,hours\n"
    pay = yard.write("pay.csv", f"{head}W1,2026-01-05,2026-01-11,normal,40\n")
    yard.run("load", "payroll", pay)
    yard.run("accruals")
    yard.run("performance", "--job", "J", "--status-date", "2026-06-01", "--in", "cost")
    own = "".join(f",2020-01-01,1,W{number}\n" for number in (1, 2, 3))
    head = "trade,effective_from,cost_per_hour,worker_id\n"
    yard.run("load", "rates", yard.write("own.csv", head + own))
    yard.run("journal")
    yard.run("suggest", "tags")
    yard.run("untagged", "--out", yard.folder / "untagged.xlsx")
    yard.run("load", "tags", yard.folder / "untagged.xlsx")
    request = ("--title", "t", "--requested-by", "o", "--requested-on", "2026-06-01", "--basis")
    yard.run("request", "change", "--job", "J", "CR9", *request, "daywork")
    percent = yard.write("percents.csv", "item,date,amount\nbase,2026-06-01,0.50\n")
    yard.run("load", "claim-percents", "--job", "J", percent)
    claim = ("--to", "2026-06-01", "--out", yard.folder / "claim.html")
    yard.run("issue", "claim", "--job", "J", *claim)
    pack = ("--for", "adjudicator", "--out", yard.folder / "pack.zip")
    yard.run("report", "evidence", "--job", "J", "CR9", *pack)


def every_kind(book: Book) -> list[str]:
    """Ask which kinds of doubts can come up, and return all of them."""
    book.rows("sheets/doubt_kinds")
    return list(KINDS)


@pytest.mark.slow
def test_every_staged_query_gives_the_columns_it_names(
    yard: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A query over staged lines is true to its Out too, at the moment that a load asks it."""
    staged = {query.path.removesuffix(".sql"): query for query in all_queries() if query.staged}
    actual: dict[str, list[tuple[str, str]]] = {}
    inputs_of = Book.inputs_of

    def looked_at(book: Book, query: str, inputs: Any) -> dict[str, object]:
        if query in staged and query not in actual:
            actual[query] = output(staged[query], book.connection)
        return inputs_of(book, query, inputs)

    monkeypatch.setattr(Book, "inputs_of", looked_at)
    monkeypatch.setattr("ledger.sheets.doubts.kinds_to_look_at", every_kind)
    monkeypatch.setattr("ledger.tables.raw_files.PART", 150)
    monkeypatch.setattr("ledger.sheets.staging.FEW_LINES", 10)
    put_through_all(yard)
    tag_all(yard)

    assert actual == {name: query.columns for name, query in staged.items()}
    assert [name for name, columns in actual.items() if "DOUBLE" in dict(columns).values()] == []


def test_every_macro_is_a_file_of_its_own_name(yard: Any) -> None:
    """A file of queries/macros/ makes one macro, and the book has every one of them."""
    yard.new()
    with own_engine(yard.book, read_only=True) as book:
        rows = book.execute("SELECT DISTINCT function_name FROM duckdb_functions()").fetchall()
    known = {name for (name,) in rows}
    paths = sorted(MACROS.rglob("*.sql"))
    texts = {path.stem: path.read_text(encoding="utf-8") for path in paths}

    assert len(texts) > 20
    assert [name for name in texts if name not in known] == []
    assert [
        name
        for name, text in texts.items()
        if not re.match(rf"-- {name}: [^\n]+\nCREATE MACRO {name}\(", text)
        or len(duckdb.extract_statements(text)) != 1
    ] == []
