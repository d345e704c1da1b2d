"""No module imports one that imports it, by whatever way round."""

import graphlib
from collections.abc import Iterable
from pathlib import Path

import pytest

from tests.house.test_imports import ROOT, Import, all_imports, imports_of


def module_of(path: str) -> str:
    """Return the name under which a file is imported."""
    return ".".join(Path(path).with_suffix("").parts).removesuffix(".__init__")


def circle(imports: Iterable[Import], modules: set[str]) -> list[str]:
    """Return the modules of a circle, the first again at the end; nothing where there is none."""
    uses: dict[str, set[str]] = {}
    for found in imports:
        name = found.module if found.module in modules else found.module.rpartition(".")[0]
        if name in modules and name != module_of(found.path):
            uses.setdefault(module_of(found.path), set()).add(name)
    try:
        graphlib.TopologicalSorter(uses).prepare()
    except graphlib.CycleError as error:
        return list(error.args[1])
    return []


@pytest.mark.parametrize(
    "importing",
    [
        "from ledger.b import thing",
        "import ledger.b",
        "from ledger import b",
        "def f():\n    from ledger.b import thing",
        "if TYPE_CHECKING:\n    from ledger.b import Thing",
    ],
)
def test_a_circle_is_found(importing: str) -> None:
    """An import inside a function, or for types alone, closes a circle like any other."""
    imports = [
        *imports_of("ledger/a.py", importing),
        *imports_of("ledger/b.py", "from ledger.c import other"),
        *imports_of("ledger/c.py", "import ledger.a"),
    ]
    actual = circle(imports, {"ledger.a", "ledger.b", "ledger.c"})

    assert set(actual) == {"ledger.a", "ledger.b", "ledger.c"}


def test_no_modules_import_each_other() -> None:
    """The modules of the package have an order, imports inside functions included."""
    paths = [path.relative_to(ROOT).as_posix() for path in (ROOT / "ledger").rglob("*.py")]
    actual = circle(all_imports(), set(map(module_of, paths)))

    assert actual == []
