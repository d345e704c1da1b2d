"""Plausibility notes: what of a job's figures is worth a second look, by kind, rule and source.

A note is a query to look into, never a finding. `(from memory)`: the source was not looked up.
"""

GAO = "GAO-20-195G, chapter on earned value (from memory)"
EIA = "EIA-748 practice (from memory)"
PRACTICE = "common practice, no source"

# Of each kind the rule and its source.
NOTES = {
    "ev_without_ac": ("a package has EV and nothing is booked to it", GAO),
    "ac_without_ev": ("hours are booked to a package with a budget and nothing is earned", GAO),
    "ev_above_bac": ("more is measured as done than there is to do", GAO),
    "pv_not_at_bac": ("the plan of a package does not add up to its budget", EIA),
    "progress_falling": ("a later measurement is below an earlier one", PRACTICE),
    "done_with_estimate": ("all is earned, and the estimate of that day has hours left", PRACTICE),
    "open_without_estimate": ("not all is earned, and the estimate of that day is 0 h", PRACTICE),
    "ac_after_completion": ("hours are booked after all was earned or finished", EIA),
    "ev_before_start": ("something is earned before the first hour is booked", EIA),
    "level_of_effort_high": ("level of effort is over 15 % of BAC", PRACTICE),
    "tcpi_apart": ("TCPI to reach EAC and CPI are more than 0.05 apart", PRACTICE),
    "forecast_below_ac": ("a forecast is below what is booked already", GAO),
    "percent_from_hours": ("three or more percents in a row are just AC / BAC", PRACTICE),
    "not_measured": ("hours of the last four weeks, and no measurement in them", PRACTICE),
}
LEVEL_OF_EFFORT_PERCENT = 15
TCPI_APART = (1, 20)  # 0.05, as a fraction.
PERCENTS_IN_A_ROW = 3
