"""What README and manual show can be typed as it stands."""

import shlex
import shutil
import tomllib
from pathlib import Path

import pytest

from tests._stage import SAMPLE
from tests.conftest import Yard
from tests.manual import _program
from tests.manual._pages import README, Page, examples, manual, page

PAGES = [Page(README), *manual()]
EXAMPLES = sorted({text: name for name, text in examples(PAGES)}.items())
# Commands that only show something, of any book: those on the pages are run.
SHOWING = (
    *("help", "history", "held", "performance", "overrun", "changes", "missing", "periods", "kept"),
    *("reissues", "doubts", "entries", "show", "check", "report"),
)


@pytest.mark.parametrize(("example", "name"), EXAMPLES)
def test_an_example_is_a_command(example: str, name: str) -> None:
    """A command on a page has the words, options and arguments that the program takes."""
    _program.parse(example)


@pytest.mark.parametrize(
    "wrong", ["fairhours hold", "fairhours held --bye reason", "fairhours freeze --job FERRY"]
)
def test_a_wrong_example_is_found(wrong: str) -> None:
    """An unknown command, an unknown option and a missing option do not parse."""
    with pytest.raises(Exception, match=r"No such|Missing"):
        _program.parse(wrong)


def files_of_the_first_job(folder: Path) -> None:
    """Lay the files of the first load out: the page's own TOML, the small sample's tables."""
    for path in SAMPLE.glob("*.csv"):
        shutil.copy(path, folder)
    for block in page("getting-started").blocks("toml"):
        name = block.partition("\n")[0].removeprefix("# ")
        (folder / name).write_text(block, encoding="utf-8")
        assert tomllib.loads(block)


def loads(of: Page) -> list[str]:
    """Return the commands of the page's block that makes a book."""
    return next(block for block in of.blocks() if "fairhours new" in block).splitlines()


@pytest.fixture(scope="module")
def first_job(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A yard that the first load of the manual made; to be read only."""
    yard = Yard(tmp_path_factory.mktemp("first"))
    files_of_the_first_job(yard.folder)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(yard.folder)
        for line in loads(page("getting-started")):
            yard.run(*line.split()[1:])
    return yard


def test_the_readme_loads_as_the_manual_does() -> None:
    """README's first load, its files and commands, is the one of the manual, which is run."""
    block = Page(README).blocks("toml")[0]
    width = block.index("# job.toml")
    columns = (
        [line[:width] for line in block.splitlines()],
        [line[width:] for line in block.splitlines()],
    )
    files = [tomllib.loads("\n".join(column)) for column in columns]

    assert files == [tomllib.loads(each) for each in page("getting-started").blocks("toml")]
    assert loads(Page(README)) == loads(page("getting-started"))


def runs_here(example: str) -> bool:
    """Whether an example only shows something, and names nothing of another book."""
    words = shlex.split(example)[1:]
    if words[:2] in (["report", "evidence"], ["report", "daywork"]):
        return False
    if " ".join(words) in {*_program.commands(), "help TOPIC"}:
        return words[0] in {"help", "history", "kept", "reissues", "check"} and len(words) == 1
    if words[:1] == ["--known-at"]:
        return words[1].isdigit()
    return words[0] in SHOWING and "$(" not in example and "15.4" not in words


@pytest.mark.parametrize("example", [each for each, _ in EXAMPLES if runs_here(each)])
def test_an_example_that_shows_something_runs(
    example: str, first_job: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A command that only reads is run on the book of the first load, a page as JSON."""
    monkeypatch.chdir(first_job.folder)
    words = shlex.split(example)[1:]
    if words[0] == "report":
        words[-1] = str(Path(words[-1]).with_suffix(".json"))
    first_job.run(*words)
