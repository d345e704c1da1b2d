"""Imports run one way, from the commands down to the pure rules."""

import ast
import graphlib
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parents[2]

# Each room may import from the rooms after it; `reports` from its own rooms, in the order below.
ROOMS = (
    "cli",
    "frames",
    "commands",
    "reports",
    *("billing", "payroll", "performance"),
    *("sheets", "inputs", "baseline", "changes", "documents", "jobs", "tables"),
    "store",
    "domain",
)
DEPTH = {layer: depth for depth, layer in enumerate(ROOMS)}
# The modules of the package itself (its errors, where its resources lie) are below everything.
GROUND = len(ROOMS)

# Distributions whose name is not that of what is imported, and the one module that may import
# what an extra brings: it says what to install where that is not there.
IMPORTED_AS = {"python_stdnum": "stdnum", "factur_x": "facturx"}
OF_THE_EXTRA = "ledger/reports/invoices/rules.py"

# The parts of the standard library that reach files, the clock, other processes or chance.
IMPURE = {
    *("io", "os", "pathlib", "shutil", "tempfile", "sqlite3", "sys", "logging", "getpass"),
    *("time", "random", "secrets", "uuid", "socket", "subprocess", "threading"),
}


class Import(NamedTuple):
    """One module imported on one line of one file."""

    path: str
    line: int
    module: str

    @property
    def place(self) -> str:
        return f"{self.path}:{self.line}"

    @property
    def layer(self) -> str:
        """The folder under ledger/ that imports, "" for a module of the package itself."""
        parts = Path(self.path).parts
        return parts[1] if len(parts) > 2 else ""

    @property
    def distribution(self) -> str:
        return self.module.split(".")[0]

    @property
    def target(self) -> str:
        """The folder under ledger/ that is imported, "" for a module of the package itself."""
        parts = self.module.split(".")
        return parts[1] if len(parts) > 1 and parts[1] in DEPTH else ""


def imports_of(path: str, source: str) -> Iterator[Import]:
    """Yield every import of a file under ledger/, inside functions too, with full module names."""
    package = list(Path(path).parent.parts)
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(path, node.lineno, alias.name)
        elif isinstance(node, ast.ImportFrom):
            start = package[: len(package) - node.level + 1] if node.level else []
            base = [*start, *([node.module] if node.module else [])]
            for alias in node.names:
                yield Import(path, node.lineno, ".".join([*base, alias.name]))


def complaints(found: Import, declared: set[str]) -> Iterator[str]:
    """Yield what an import breaks."""
    name = found.distribution
    if name == "duckdb" and found.layer != "store":
        yield f"{found.place}: duckdb belongs in ledger/store"
    if found.layer == "domain" and name != "ledger":
        if name not in sys.stdlib_module_names:
            yield f"{found.place}: ledger/domain uses the standard library only, not {name}"
        elif name in IMPURE:
            yield f"{found.place}: ledger/domain has no files, clock or chance, so no {name}"
    if name == "ledger":
        yield from upward(found)
    elif name not in sys.stdlib_module_names and name not in declared:
        yield f"{found.place}: {name} is no dependency of pyproject.toml"


def upward(found: Import) -> Iterator[str]:
    """Yield the complaint about an import that climbs."""
    here = DEPTH.get(found.layer, GROUND)
    there = DEPTH.get(found.target, GROUND)
    if found.layer and found.layer not in DEPTH:
        yield f"{found.place}: ledger/{found.layer} is no room of the layout"
    elif there < here:
        yield f"{found.place}: {found.layer or 'ledger'} must not import {found.target}"


def declared_names(extra: str = "") -> set[str]:
    """Return the import names of the dependencies, or of what an extra adds to them."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = project["optional-dependencies"][extra] if extra else project["dependencies"]
    names = {line.split(">")[0].strip().replace("-", "_") for line in lines}
    return {IMPORTED_AS.get(name, name) for name in names}


def all_imports() -> list[Import]:
    found: list[Import] = []
    for path in sorted((ROOT / "ledger").rglob("*.py")):
        where = path.relative_to(ROOT).as_posix()
        found.extend(imports_of(where, path.read_text(encoding="utf-8")))
    return found


def complaints_about(path: str, source: str) -> list[str]:
    declared = {"duckdb", "polars"}
    return [text for found in imports_of(path, source) for text in complaints(found, declared)]


@pytest.mark.parametrize(
    ("path", "source"),
    [
        ("ledger/store/book.py", "import duckdb"),
        ("ledger/cli/program.py", "from ledger.reports import week"),
        ("ledger/reports/week.py", "from ledger.performance.measures import measured"),
        ("ledger/sheets/loading.py", "from ledger.inputs import files\nimport polars"),
        ("ledger/store/book.py", "from ledger.domain.money import Money"),
        ("ledger/domain/money.py", "from decimal import Decimal\nfrom . import durations"),
        ("ledger/domain/money.py", "from ledger.errors import FairhoursError"),
    ],
)
def test_imports_downwards_are_accepted(path: str, source: str) -> None:
    """A layer may use its own row and those below it."""
    actual = complaints_about(path, source)

    assert actual == []


@pytest.mark.parametrize(
    ("path", "source", "expected"),
    [
        (
            "ledger/sheets/loading.py",
            "def read():\n    import duckdb",
            "ledger/sheets/loading.py:2: duckdb belongs in ledger/store",
        ),
        (
            "ledger/reports/week.py",
            "from duckdb import connect",
            "ledger/reports/week.py:1: duckdb belongs in ledger/store",
        ),
        (
            "ledger/domain/money.py",
            "import polars",
            "ledger/domain/money.py:1: ledger/domain uses the standard library only, not polars",
        ),
        (
            "ledger/domain/money.py",
            "from pathlib import Path",
            "ledger/domain/money.py:1: ledger/domain has no files, clock or chance, so no pathlib",
        ),
        (
            "ledger/domain/money.py",
            "from ..store import book",
            "ledger/domain/money.py:1: domain must not import store",
        ),
        (
            "ledger/store/book.py",
            "from ledger.changes.life import State",
            "ledger/store/book.py:1: store must not import changes",
        ),
        (
            "ledger/errors.py",
            "from ledger.domain import money",
            "ledger/errors.py:1: ledger must not import domain",
        ),
        (
            "ledger/helpers/text.py",
            "from ledger.domain import money",
            "ledger/helpers/text.py:1: ledger/helpers is no room of the layout",
        ),
        (
            "ledger/cli/program.py",
            "import click",
            "ledger/cli/program.py:1: click is no dependency of pyproject.toml",
        ),
    ],
)
def test_imports_upwards_and_sideways_are_refused(path: str, source: str, expected: str) -> None:
    """A layer may not use those above it, and only the store talks to DuckDB."""
    actual = complaints_about(path, source)

    assert actual == [expected]


def test_imports_run_one_way() -> None:
    """Every import of the package goes downwards, to a declared dependency."""
    declared = declared_names()
    more = declared | declared_names("invoices")
    actual = [
        text
        for found in all_imports()
        for text in complaints(found, more if found.path == OF_THE_EXTRA else declared)
    ]

    assert actual == []


def test_no_two_packages_import_each_other() -> None:
    """The packages of one row have an order among themselves too."""
    uses: dict[str, set[str]] = {layer: set() for layer in DEPTH}
    for found in all_imports():
        if found.distribution == "ledger" and found.target and found.layer != found.target:
            uses.setdefault(found.layer, set()).add(found.target)
    try:
        graphlib.TopologicalSorter(uses).prepare()
        actual: list[str] = []
    except graphlib.CycleError as error:
        actual = error.args[1]

    assert actual == []


def test_every_dependency_is_used() -> None:
    """A dependency that nothing imports is not asked of the yard's machine."""
    # The zone data and the font are read by the libraries as files, not imported by our code.
    read_as_files = {"tzdata", "font_source_sans_pro"}
    imported = {found.distribution for found in all_imports()}
    actual = sorted(declared_names() - imported - read_as_files)

    assert actual == []
