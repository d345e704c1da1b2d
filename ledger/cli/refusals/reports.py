"""Refusals of `ledger/reports` in words: the kinds of pages, and own templates."""

WHAT_TO_DO = "put it right, or take the file out of the folder and the packaged one is used"

WORDINGS = {
    "worker_inactive": "worker {worker} is not active in the week of {week}; {remedy} lists all",
    "crew_inactive": "nobody is active in the week of {week}; load the crew",
    "logo_unreadable": "the logo is no PNG, JPEG or SVG; load settings that name another",
    # What a report is made as.
    "report_kind_unknown": 'a report is made as {kinds}, not "{given}"',
    "report_ending_unknown": "{file}: a report's name ends in one of {endings}",
    "paper_unknown": 'paper is {papers:or}, not "{given}"',
    "pdf_variant_unknown": 'a PDF is made as {variants}, not "{given}"',
    "pdf_variant_unused": "--pdf-variant {variant} is for a .pdf, not a .{ending}",
    # Own templates.
    "templates_unreadable": "{place}: cannot be read: {system}",
    "templates_missing": "{folder}: has no template; a page can be given its own {packaged}",
    "template_unused": (
        "{template}: no page uses a template of this name; a page can be given its own {packaged}"
    ),
    "template_missing": f'{{asked_at}}: there is no template "{{template}}"; {WHAT_TO_DO}',
    "template_outside": "{template}: leads out of the folder; put the file itself there",
    "template_is_no_file": "{template}: is no file",
    "template_too_long": "{template}: is longer than {most} bytes",
    "template_astray": f"{{template}}:{{line}}: {{what}}; {WHAT_TO_DO}",
    "page_unsafe": f"{{folder}}: {{found}}; {WHAT_TO_DO}",
    "page_reaches_out": "{said}",
}
