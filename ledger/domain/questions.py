"""Questions for which a line is held: it may be a line of the book, and only a person knows."""

# Of each question but the re-issue what is asked of one line, and of more.
QUESTIONS = {
    "job_differs": (
        "it differs from a booked line only in the job",
        "they differ from booked lines only in the job",
    ),
    "times_differ": (
        "it differs from a booked line only in the times of day",
        "they differ from booked lines only in the times of day",
    ),
    "same_as_sheet": (
        "it is already on another sheet",
        "they are already on other sheets",
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
