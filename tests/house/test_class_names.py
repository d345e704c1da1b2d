"""A class has a name of its own, so that who reads it knows which is meant."""

import ast
from collections import defaultdict
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2] / "ledger"


def classes(root: Path) -> dict[str, list[str]]:
    """Return the files under a folder that define a class, by its name."""
    found = defaultdict(list)
    for file in sorted(root.rglob("*.py")):
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef):
                found[node.name].append(file.relative_to(root).as_posix())
    return found


def test_no_two_classes_have_one_name() -> None:
    """One name is one thing, in whatever room."""
    assert {name: files for name, files in classes(PACKAGE).items() if len(files) > 1} == {}


def test_a_second_class_of_a_name_is_found(tmp_path: Path) -> None:
    """The look sees classes of different files."""
    for name in ("one.py", "two.py"):
        (tmp_path / name).write_text("class Sums:\n    pass\n", encoding="utf-8")

    assert classes(tmp_path) == {"Sums": ["one.py", "two.py"]}
