"""How the hours of one entry are shared out over several places."""

# By the hours that the crew booked in the week, the word of rules and of the reasons of postings.
CREW_HOURS = "crew_hours"
