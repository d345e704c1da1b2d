"""The row of a table that names its columns: where it stands, and what is wrong with it."""

from collections.abc import Callable, Sequence

from ledger.errors import Refused, Remedy
from ledger.tables.tabs import Tab, names_of
from ledger.tables.whole_files import TextFile

# A head is looked for in as many rows of a tab, below titles and blank rows.
TITLE_ROWS = 100
# No table of a yard is as wide: a grid of a year's days has a fifth of it.
WIDEST = 2_000
Missing = Callable[[Sequence[str]], list[str]]
# What helps where a column is missing: of a table that no layout serves, of one that a layout
# would serve, and of one that is read by a layout.
CORRECT_HEAD, GUESS_LAYOUT, CORRECT_LAYOUT = (
    Remedy("correct_head"),
    Remedy("guess_layout"),
    Remedy("correct_layout"),
)


def head_of(cells: Sequence[str]) -> list[str]:
    """Return the names of a head: trimmed, in small letters, "" for a column without one."""
    return [" ".join(cell.split()).lower() for cell in cells]


def head_of_rows(rows: Sequence[Sequence[str]]) -> list[str]:
    """Return the names of a head of one row, or of two: the upper name before the lower one.

    An upper cell that is merged over several columns has its text in the first of them; it reaches
    as far as the lower row names columns and the upper one is blank.
    """
    if len(rows) < 2:
        return head_of(rows[0])
    upper, lower = (head_of(row) for row in rows[-2:])
    width = max(len(upper), len(lower))
    over, heads = "", []
    for top, below in zip(_to(upper, width), _to(lower, width), strict=True):
        over = top or (over if below else "")
        heads.append(f"{over} {below}".strip())
        over = over if below else ""
    return heads


def _to(cells: list[str], width: int) -> list[str]:
    return [*cells, *[""] * (width - len(cells))]


def check_width(where: str, cells: Sequence[str]) -> None:
    """Raises: Refused when a table has more columns than any that is read."""
    if len(cells) > WIDEST:
        raise Refused("table_too_wide", where=where, columns=len(cells), most=WIDEST)


def check_head(where: str, head: Sequence[str], missing: Missing, helps: Remedy) -> None:
    """Raises: Refused when a column is there twice, or one that is needed is not there.

    `helps` is said of one that is not there.
    """
    twice = sorted({cell for cell in head if cell and head.count(cell) > 1})
    if twice:
        raise Refused("column_twice", where=where, column=twice[0])
    if names := missing(head):
        named = tuple(filter(None, head))
        raise Refused(
            "columns_missing", where=where, columns=tuple(names), head=named, remedy=helps
        )


def head_row(tab: Tab, missing: Missing, rows: int = 1) -> int | None:
    """Return the place of the first row that has the needed columns, None when there is none.

    Of a head of two `rows` it is the lower one's.
    """
    for place in range(rows - 1, min(len(tab.rows), TITLE_ROWS)):
        if not missing(head_of_rows(tab.rows[place - rows + 1 : place + 1])):
            return place
    return None


def first_row(tab: Tab) -> int:
    """Return the place of the first row with something in it."""
    return next(place for place, row in enumerate(tab.rows) if any(map(str.strip, row)))


def visible_tabs(file: TextFile) -> list[Tab]:
    """Return the tabs that can be read: those with something in them that are not hidden.

    Raises: Refused when every one is hidden, or one is too wide for a table.
    """
    filled = [tab for tab in file.tabs if not tab.is_blank]
    visible = [tab for tab in filled if not tab.hidden]
    if not visible:
        raise Refused("tabs_hidden", file=file.name, tabs=names_of(filled))
    for tab in visible:
        check_width(f"{file.name}, {tab.name}", tab.rows[0])
    return visible


def left_out(file: TextFile, read: Sequence[Tab]) -> list[str]:
    """Return the names of the filled tabs that are not read, hidden ones marked."""
    rest = [tab for tab in file.tabs if not tab.is_blank and tab not in read]
    return [f"{tab.name} (hidden)" if tab.hidden else tab.name for tab in rest]


def only_tab(file: TextFile, missing: Missing, rows: int = 1) -> tuple[Tab, int]:
    """Return the one tab of a workbook that has the needed columns, and the place of its head.

    With a single tab, its first filled row is the head where none has them.

    Raises: Refused, naming the tabs, when none or more than one has them.
    """
    visible = visible_tabs(file)
    headed = [(tab, at) for tab in visible if (at := head_row(tab, missing, rows)) is not None]
    if not headed and len(visible) == 1:
        return visible[0], first_row(visible[0])
    if not headed:
        columns = tuple(missing(()))
        raise Refused("tab_missing", file=file.name, columns=columns, tabs=names_of(visible))
    if len(headed) > 1:
        raise Refused("tabs_alike", file=file.name, tabs=names_of(tab for tab, _ in headed))
    return headed[0]
