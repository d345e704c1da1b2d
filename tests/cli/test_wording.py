"""Whatever a command returns has words."""

from ledger.cli.wording.loads import lines_of
from ledger.cli.wording.sheets import remark
from ledger.inputs import outcomes as of_inputs
from ledger.outcomes import Outcome
from ledger.sheets import outcomes as of_sheets


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
        of_sheets.FilesPassedOver,
        of_sheets.ColumnsPassedOver,
        of_sheets.TabsPassedOver,
        of_sheets.TotalNotChecked,
        of_sheets.SheetsReissued,
        of_sheets.HeldLinesMended,
        of_sheets.QuestionsWaiting,
    )
    wordless = [
        each.__name__ for each in kinds if remark.dispatch(each) is remark.dispatch(Outcome)
    ]

    assert wordless == []
