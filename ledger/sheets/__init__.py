"""A timesheet line's whole life: read, judged, compared, kept, placed, put right, traced."""
