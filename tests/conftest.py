"""Fixtures shared by all tests: a private yard driven through the real command."""

import csv
import gc
import io
import json
import os
import tempfile
import textwrap
from collections.abc import Callable, Generator, Iterable
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import typer.testing
from hypothesis import HealthCheck, settings
from typer.testing import CliRunner

from ledger.cli.program import app
from ledger.store import book as store
from tests import _engine

# Pages are made of very many small objects: a sixth of the time went into looking for rubbish.
gc.set_threshold(20_000, 20, 20)
# A run on several processors gives its workers a width, to which tables would then be fitted.
os.environ.pop("COLUMNS", None)
# The runner would make the program's commands anew for each that it runs.
typer.testing._get_command = cache(typer.testing._get_command)  # type: ignore[attr-defined]
# On a machine at work for others too the clock says nothing of a test.
CLOCKLESS = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("clockless", CLOCKLESS)
settings.load_profile("clockless")
AS_THE_PROGRAM = [Path(__file__).parent / room for room in ("store", "hostile", "demo")]
store.connect = _engine.connect


@dataclass(frozen=True)
class Outcome:
    """What a command left: its exit code and both streams."""

    exit_code: int
    stdout: str
    stderr: str


class Yard:
    """A private folder with one book, driven as a user drives it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.book = folder / "book.duckdb"

    def write(self, name: str, text: str) -> Path:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(textwrap.dedent(text).lstrip("\n"), encoding="utf-8")
        return path

    def new(self, *before: str, rehearsal: bool = False) -> "Yard":
        self.run(*before, "new", *(["--rehearsal"] if rehearsal else []))
        return self

    def run(self, *words: object, ok: bool = True) -> Outcome:
        if not self.book.exists() and "new" not in words:
            self.copy_made_by(Yard.new)
        command = ["--book", str(self.book), "--actor", "Tester", *map(str, words)]
        result = CliRunner().invoke(app, command)
        outcome = Outcome(result.exit_code, result.stdout, result.stderr)
        if result.exception and not isinstance(result.exception, SystemExit):
            raise result.exception
        if ok:
            assert outcome.exit_code == 0, f"{' '.join(command)}\n{outcome.stderr}"
        else:
            assert outcome.exit_code != 0, f"accepted: {' '.join(command)}\n{outcome.stdout}"
        return outcome

    def copy_made_by(self, making: Callable[["Yard"], object]) -> "Yard":
        """Take a copy of the book that `making` makes."""
        self.book.write_bytes(book_made_by(making))
        return self

    def json(self, *words: object) -> Any:
        outcome = self.run(*words, "--format", "json")
        return json.loads(outcome.stdout, parse_float=Decimal, parse_int=Decimal)

    def rows(self, text: str) -> list[dict[str, str]]:
        return list(csv.DictReader(io.StringIO(text)))


@cache
def book_made_by(making: Callable[[Yard], object]) -> bytes:
    """Return the bytes of the book that `making` makes of a yard; made once in each process."""
    with tempfile.TemporaryDirectory() as folder:
        yard = Yard(Path(folder))
        making(yard)
        return yard.book.read_bytes()


def slow_case(*values: Any) -> Any:
    """Return a case of a test that takes seconds: it runs with the slow tests."""
    return pytest.param(*values, marks=pytest.mark.slow)


def slow_beyond(quick: int, cases: Iterable[Any]) -> list[Any]:
    """Return the cases of a test, those after the first `quick` marked slow; a tuple is a case."""
    return [
        case if number < quick else slow_case(*(case if isinstance(case, tuple) else (case,)))
        for number, case in enumerate(cases)
    ]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Let a test that is skipped fail where every program it could need is installed (CI)."""
    report = yield
    if report.skipped and os.environ.get("NOTHING_SKIPPED"):
        report.outcome, report.longrepr = "failed", f"skipped: {report.longrepr}"
    return report


@pytest.fixture(autouse=True)
def own_engine(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the tests of the store, of disks and of the demo open each book as the program does."""
    if any(request.path.is_relative_to(folder) for folder in AS_THE_PROGRAM):
        # What a module's fixture made before this stays attached no longer.
        _engine.let_go()
        monkeypatch.setattr(store, "connect", _engine.own_engine)


@pytest.fixture
def yard(tmp_path: Path) -> Yard:
    """An empty yard in a folder of its own; its book is made on first use."""
    return Yard(tmp_path)


@pytest.fixture(scope="session")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of the sample's job before its first sheet."""
    from tests._stage import prepare

    return prepare(Yard(tmp_path_factory.mktemp("prepared"))).book


@pytest.fixture
def stage(prepared: Path, tmp_path: Path) -> Yard:
    """A private copy: a yard with the sample's job, crew, rates and estimate; no sheets yet."""
    from tests._stage import copied

    return copied(prepared, tmp_path)
