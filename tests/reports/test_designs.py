"""What a page is made of is imported when it is made, and all that is named is there."""

import subprocess
import sys

import pytest

from ledger.reports.designs import DESIGN_OF, DESIGNS, Later
from ledger.reports.foremen.week_sheets import WeekSheets
from ledger.reports.owner.document_build import OWNER_DOCUMENTS

BUILDERS = """
import sys, ledger.commands.pages
makes = ("_build", "_page", ".days", ".report")
print([name for name in sorted(sys.modules) if name.endswith(makes)])
"""


@pytest.mark.parametrize("view", DESIGNS)
def test_all_that_a_design_names_is_there(view: type) -> None:
    """The view model is found by its own name, and each function can be called."""
    design = DESIGNS[view]
    named = [design.page, design.workbook, *design.files.values()]

    assert {isinstance(each, Later) and callable(each.function) for each in named} == {True}


def test_each_view_model_has_one_design() -> None:
    """All names lead to different view models, those of all documents for the owner among them."""
    assert len(set(DESIGNS)) == len(DESIGNS) == len(DESIGN_OF)
    assert {each.view for each in OWNER_DOCUMENTS.values()} <= set(DESIGNS)
    assert DESIGNS[WeekSheets].template == "week_sheets.html"


def test_what_is_no_view_model_has_no_design() -> None:
    """A class that is none of ours is no key."""
    with pytest.raises(KeyError, match=r"^'builtins:dict'$"):
        DESIGNS[dict]


def test_pages_are_ready_without_what_builds_them() -> None:
    """To name the commands of pages imports no builder and no page: each is the time of a query."""
    done = subprocess.run(
        [sys.executable, "-c", BUILDERS], capture_output=True, text=True, check=True
    )

    assert done.stdout == "[]\n"
