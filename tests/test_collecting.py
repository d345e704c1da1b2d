"""Python looks for garbage as before, once it was let to do so seldom."""

import gc
import os
import subprocess
import sys
from pathlib import Path

import pytest

from ledger.collecting import RARELY, rare_collection

# A page made as a command makes it: it has fonts, which lie in a folder until it is let go.
COMMAND = """
import gc
from ledger.cli import main, program
def page():
    from datetime import UTC, datetime
    from ledger.reports import fonts, pages, tables
    face = "font-family: A; src: url(data:font/woff2;base64,%s)"
    style = face % fonts.encoded("page-sans-regular.woff2")
    text = "<title>A</title><style>@font-face { %s } p { font-family: A }</style><p>A" % style
    out = tables.Print("A4", datetime(2026, 9, 6, tzinfo=UTC))
    pages.printed(text, out, [])
    print(gc.get_threshold()[0])
program.app = page
main.main()
"""


def test_garbage_is_looked_for_seldom_only_meanwhile() -> None:
    """The threshold is raised, and stands as it did afterwards, after an error too."""
    before, meanwhile = gc.get_threshold(), []

    def fail() -> None:
        meanwhile.append(gc.get_threshold())
        raise ValueError

    with pytest.raises(ValueError, match=r"^$"), rare_collection():
        fail()

    assert meanwhile > [before]
    assert gc.get_threshold() == before


def test_a_command_looks_seldom_and_leaves_no_folder(tmp_path: Path) -> None:
    """A process of one command keeps to it until its end, and then takes its fonts away."""
    done = subprocess.run(
        [sys.executable, "-c", COMMAND],
        env=os.environ | {"TMPDIR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=True,
    )

    assert (done.stdout, done.stderr) == (f"{RARELY}\n", "")
    assert list(tmp_path.iterdir()) == []
