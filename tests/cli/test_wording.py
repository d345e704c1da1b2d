"""Whatever a command returns has words."""

import ast
import string
from pathlib import Path

import pytest

from ledger.cli.wording import layouts
from ledger.cli.wording.completeness import reason
from ledger.cli.wording.loads import lines_of
from ledger.cli.wording.sheets import remark
from ledger.commands import layouts as layouts_proposed
from ledger.inputs import guessed_rows
from ledger.inputs import guessing as of_tables
from ledger.inputs import outcomes as of_inputs
from ledger.outcomes import Outcome
from ledger.performance import completeness
from ledger.sheets import file_outcomes as of_files
from ledger.sheets import guessing as guessing_sheets
from ledger.tables import guessed_texts, guessing
from ledger.tables.guessing import Unsure


def test_every_outcome_of_a_small_file_has_words() -> None:
    """Each kind of fact that a loader of small files returns is put into words."""
    kinds = [
        each
        for each in Outcome.__subclasses__()
        if each.__module__ == of_inputs.__name__ and each is not of_inputs.FileLoaded
    ]
    wordless = [
        each.__name__ for each in kinds if lines_of.dispatch(each) is lines_of.dispatch(Outcome)
    ]

    assert len(kinds) > 5
    assert wordless == []


def test_every_remark_on_sheets_has_words() -> None:
    """Each kind of fact beside the counts of a load of sheets is put into words."""
    kinds = (
        of_files.FilesPassedOver,
        of_files.ColumnsPassedOver,
        of_files.TabsPassedOver,
        of_files.TotalNotChecked,
        of_files.SheetsReissued,
        of_files.HeldLinesMended,
        of_files.QuestionsWaiting,
    )
    wordless = [
        each.__name__ for each in kinds if remark.dispatch(each) is remark.dispatch(Outcome)
    ]

    assert wordless == []


def test_every_reason_of_incomplete_figures_has_words() -> None:
    """Each kind of fact that heads figures as incomplete is put into words."""
    kinds = [each for each in Outcome.__subclasses__() if each.__module__ == completeness.__name__]
    wordless = [
        each.__name__ for each in kinds if reason.dispatch(each) is reason.dispatch(Outcome)
    ]

    assert len(kinds) == 5
    assert wordless == []


GUESSING = (
    guessing,
    guessed_texts,
    guessing_sheets,
    of_tables,
    guessed_rows,
    layouts_proposed,
)


def test_whatever_a_proposed_layout_leaves_open_has_words() -> None:
    """Each kind has one sentence, with the fields that it is given; no sentence is left over."""
    sources = [Path(str(each.__file__)).read_text(encoding="utf-8") for each in GUESSING]
    tree = ast.parse("\n".join(sources))
    made = {
        str(ast.literal_eval(node.args[0])): {str(each.arg) for each in node.keywords}
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == Unsure.__name__
    }
    worded = {
        kind: {name for _, name, _, _ in string.Formatter().parse(text) if name}
        for kind, text in layouts.WORDINGS.items()
    }

    assert made == worded


@pytest.mark.parametrize(
    ("outcome", "expected"),
    [
        (of_inputs.EstimateLoaded(1, 144_000_000, False), "estimate: 1 package, 40.00 h"),
        (of_inputs.EstimateLoaded(2, 144_000_000, False), "estimate: 2 packages, 40.00 h"),
        (of_inputs.BudgetsRated(1), "rate: 1 budget now rated"),
        (
            of_inputs.WholesLoaded("change_line", 1, 0),
            "change-lines: 1 revision new or changed, 0 unchanged",
        ),
        (of_inputs.WholesLoaded("rule", 1, 2), "rule: 1 new or changed, 2 unchanged"),
    ],
)
def test_one_of_a_thing_has_its_noun(outcome: Outcome, expected: str) -> None:
    """What was loaded is counted with the noun of one, or of more."""
    actual = lines_of(outcome)

    assert actual == [expected]
