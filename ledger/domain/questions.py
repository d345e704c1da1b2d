"""Questions for which a line is held: it may be a line of the book, and only a person knows."""

# Of each question but the re-issue what is said of one line, and of more.
QUESTIONS = {
    "job_differs": (
        "1 line is held that differs from a line of the book in the job alone",
        "{} lines are held that differ from lines of the book in the job alone",
    ),
    "times_differ": (
        "1 line is held that differs from a line of the book in the times of day alone",
        "{} lines are held that differ from lines of the book in the times of day alone",
    ),
    "same_as_sheet": (
        "1 line is held that stands on another sheet already",
        "{} lines are held that stand on other sheets already",
    ),
}

# All reasons for which a line is held, in the order in which they are looked for.
REASONS = (
    *QUESTIONS,
    "re_issue",
    "worker_missing",
    "worker_unknown",
    "date_missing",
    "date_unreadable",
    "hours_missing",
    "times_unreadable",
    "hours_unreadable",
    "over_24_hours",
)
