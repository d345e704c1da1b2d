"""Questions for which a line is held: it may be a line of the book, and only a person knows."""

# Of each question but the re-issue what is said of one line, and of more.
QUESTIONS = {
    "job_differs": (
        "1 line is held: it differs from a booked line only in the job",
        "{} lines are held: they differ from booked lines only in the job",
    ),
    "times_differ": (
        "1 line is held: it differs from a booked line only in the times of day",
        "{} lines are held: they differ from booked lines only in the times of day",
    ),
    "same_as_sheet": (
        "1 line is held: it is already on another sheet",
        "{} lines are held: they are already on other sheets",
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
