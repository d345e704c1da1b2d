"""Words that stay out of the repository."""

import ast
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

# Made by tools, or somebody's own; not part of the repository.
PASSED_OVER = {"__pycache__", "build", "dist", "node_modules"}
KEPT = {".ci", ".editorconfig", ".gitignore", ".pre-commit-config.yaml"}

# A bracket in each word, so that this file passes its own test.
EVERYWHERE = {
    "path of one machine": r"(?<![\w.$}])/(?:w[o]rk|f[a]rm|r[o]ot|h[o]me|U[s]ers|t[m]p)/",
    "name of a package host": r"p[y]pi\.|p[y]thonhosted|n[p]mjs\.|d[e]b\.debian|a[n]aconda\.",
    "unfinished work": r"\b(?:T[O]DO|F[I]XME|X[X]X)\b",
}
WHERE_FIGURES_ARE_MADE = {
    "float": r"\bf[l]oat\(",
    "binary fraction": r"\b(?:D[O]UBLE|F[L]OAT|R[E]AL)\b",
}


def files() -> Iterator[Path]:
    """Yield every file of the repository, as a checkout has it."""
    for folder, folders, names in os.walk(ROOT):
        folders[:] = [name for name in folders if belongs(Path(folder) / name)]
        yield from (Path(folder) / name for name in names if belongs(Path(folder) / name))


def belongs(path: Path) -> bool:
    hidden = path.name.startswith(".") and path.name not in KEPT
    environment = (path / "pyvenv.cfg").exists()
    made = path == ROOT / "demo"  # What `fairhours demo` leaves in a checkout.
    return not (hidden or environment or made or path.name in PASSED_OVER)


def text_of(path: Path) -> str:
    """Return the file's text, "" for a book, a picture or a font."""
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


def complaints(path: str, text: str) -> Iterator[str]:
    """Yield each forbidden word of one file with its place."""
    words = dict(EVERYWHERE)
    if path.startswith(("ledger/", "queries/")):
        words |= WHERE_FIGURES_ARE_MADE
    # Most files have none of them: only where one is found its line is looked for.
    present = {what: pattern for what, pattern in words.items() if re.search(pattern, text)}
    for number, line in enumerate(text.splitlines() if present else (), start=1):
        for what, pattern in present.items():
            if found := re.search(pattern, line):
                yield f"{path}:{number}: {what}: {found.group()}"
    if path.endswith(".py") and "except" in text:
        yield from broad_excepts(path, text)


def broad_excepts(path: str, text: str) -> Iterator[str]:
    """Yield each except that catches our own mistakes too; one that undoes and raises again may."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ExceptHandler):
            caught = ast.unparse(node.type) if node.type else "everything"
            last = node.body[-1]
            raised_again = caught == "BaseException" and ast.unparse(last) == "raise"
            broad = re.search(r"\b(?:Exception|BaseException|everything)\b", caught)
            if broad and not raised_again:
                yield f"{path}:{node.lineno}: except {caught} hides our own mistakes"


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("README.md", "open https://example.org/work in progress/ and your/home/page"),
        ("ledger/a.py", "try:\n    pass\nexcept ValueError:\n    pass\n"),
        ("ledger/a.py", "try:\n    pass\nexcept BaseException:\n    undo()\n    raise\n"),
        ("tests/a.py", "f" + "loat('inf')"),
        ("queries/a.sql", "SELECT sum(ms) AS doubled_ms"),
    ],
)
def test_plain_words_are_accepted(path: str, text: str) -> None:
    """A word that only looks like a forbidden one may stand."""
    actual = list(complaints(path, text))

    assert actual == []


@pytest.mark.parametrize(
    ("path", "text", "expected"),
    [
        ("README.md", "cd /w" + "ork/yard", "README.md:1: path of one machine: /w" + "ork/"),
        (".ci/run", "\n-i py" + "pi.org", ".ci/run:2: name of a package host: py" + "pi."),
        ("a.sql", "-- TO" + "DO", "a.sql:1: unfinished work: TO" + "DO"),
        ("ledger/a.py", "f" + "loat(x)", "ledger/a.py:1: float: f" + "loat("),
        ("queries/a.sql", "x::DOU" + "BLE", "queries/a.sql:1: binary fraction: DOU" + "BLE"),
        (
            "tests/a.py",
            "try:\n    pass\nexcept (OSError, Exception):\n    pass\n",
            "tests/a.py:3: except (OSError, Exception) hides our own mistakes",
        ),
        (
            "ledger/a.py",
            "try:\n    pass\nexcept Exception:\n    undo()\n    raise\n",
            "ledger/a.py:3: except Exception hides our own mistakes",
        ),
        (
            "ledger/a.py",
            "try:\n    pass\nexcept BaseException:\n    pass\n",
            "ledger/a.py:3: except BaseException hides our own mistakes",
        ),
        (
            "ledger/a.py",
            "try:\n    pass\nexcept:\n    pass\n",
            "ledger/a.py:3: except everything hides our own mistakes",
        ),
    ],
)
def test_forbidden_words_are_refused(path: str, text: str, expected: str) -> None:
    """A machine's path, a package host, a note to self, a float or a broad except is refused."""
    actual = list(complaints(path, text))

    assert actual == [expected]


def test_no_file_has_a_forbidden_word() -> None:
    """No file of the repository names one machine, a package host or unfinished work."""
    found = list(files())
    actual = [
        text
        for path in found
        for text in complaints(path.relative_to(ROOT).as_posix(), text_of(path))
    ]

    assert ROOT / "README.md" in found
    assert actual == []
