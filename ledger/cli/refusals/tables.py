"""Refusals of `ledger/tables` in words: what is no table, text or workbook that can be read."""

WORDINGS = {
    # The file itself.
    "file_missing": "{file}: there is no such file",
    "file_unreadable": "{file}: cannot be read ({system})",
    "file_disk_failed": (
        "{file}: the disk failed while reading ({system}); check it before you go on"
    ),
    "file_changed": "{file}: changed while it was read; load it again when it is complete",
    "file_too_large": "{file}: is larger than {megabytes} MB; split it",
    "file_is_folder": "{file}: is a folder; name the files in it",
    "file_is_device": "{file}: is a pipe, a device or a socket; save its content as a file",
    "name_not_utf_8": "{file}: the name is not UTF-8; rename the file",
    "name_has_control": "{file}: the name has a control character; rename the file",
    "file_empty": "{file}: the file is empty; nothing to load",
    # Text.
    "file_is_pdf": "{file}: this is a PDF, not CSV; save it as CSV (UTF-8) first",
    "control_character": (
        "{file}:{line}: has the control character {mark}; remove it and load again"
    ),
    "nul_bytes": "{file}: has NUL bytes; save it as CSV (UTF-8) first",
    "line_too_long": (
        "{file}:{line}: the line is longer than 8 MB; correct the quotes or the line ends"
    ),
    "byte_order_missing": (
        '{file}: has no byte order mark; name "utf-16-le" or "utf-16-be" in the layout'
    ),
    "not_utf_8": "{file}: is not UTF-8; save it as UTF-8",
    "text_not_utf_8": "{file}:{line}: is not UTF-8; save the file as CSV (UTF-8)",
    "text_not_encoded": "{file}:{line}: is not {encoding}; name another in the layout",
    "quotes_astray": "{file}:{line}: {said}; correct the quotes",
    # TOML.
    "toml_astray": "{file}: {said}; correct the TOML",
    "toml_too_deep": "{file}: tables or lists are nested too deep; correct the TOML",
    "toml_number_too_long": "{file}: has a number with too many digits; correct the TOML",
    # Workbooks.
    "workbook_old": (
        "{file}: the workbook has an older format or a password; save it as XLSX or ODS first"
    ),
    "workbook_empty": "{file}: the workbook is empty; nothing to load",
    "workbook_broken": (
        "{file}: the workbook cannot be read; open it and save it again as XLSX, ODS or CSV"
    ),
    "workbook_too_large": "{file}: the workbook unpacks to over 1 GB; save it as CSV",
    "workbook_too_wide": (
        "{file}: its cells cover {cells:place|places}, more than {most}; save it as CSV"
    ),
    "workbook_too_wordy": (
        "{file}: its texts exceed {millions} million characters; save it as CSV"
    ),
    "workbook_unusable": (
        "{file}: over {most} cells are percents, errors or formulas without their result; "
        "save it as CSV"
    ),
    "archive_unknown": (
        "{file}: this archive is not a known workbook format; save it as XLSX, ODS or CSV"
    ),
    "tabs_hidden": "{file}: has only hidden tabs ({tabs}); unhide the one to load",
    "tab_missing": "{file}: no tab has the columns {columns}; the tabs are {tabs}",
    "tabs_alike": "{file}: the tabs {tabs} all have the required columns; keep one in the file",
    # Heads and rows.
    "table_too_wide": "{where}: has {columns:column|columns}, more than {most}; is it a table?",
    "column_twice": "{where}: column {column} appears twice; rename one",
    "columns_missing": "{where}: missing columns: {columns}; the head is {head}; {remedy}",
    "rows_missing": "{file}: has a head but no rows; nothing to load",
    "rows_too_many": "{file}: has over {most} rows; split it",
    # Layouts.
    "layout_erased": "the layout {layout} by which the file was read was erased",
    "layout_unknown": (
        '--layout "{layout}": no such file, and no layout of that name; use one of {layouts}'
    ),
    "layout_of_another": (
        '{layout}.toml: is a layout for {table}; for this load it needs table = "{wanted}"'
    ),
    "layout_field_twice": "{file}: {field} is given twice; leave one out",
    "layout_head_twice": '{file}: columns: the head "{head}" is named twice; leave one out',
    "layout_across_nothing": (
        "{file}: across needs the heads laid across: [heads], or date_heads = true"
    ),
    "amount_beside_across": (
        "{where}: {head} is of the whole row and would count for each of the heads laid across; "
        "put it into evidence"
    ),
    "layout_grid_with_hours": ("{file}: a grid has its hours under days; leave date and hours out"),
    "layout_mark_unused": ('{file}: duration "h:mm" has no decimal mark; leave decimal_mark out'),
}
