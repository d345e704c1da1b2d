"""What is filled in to measure a package, by its technique."""

# Level of effort and apportioned effort are measured by the plan and by another package.
FILLED_IN = {
    "percent_complete": ("percent",),
    "units_complete": ("quantity_done", "quantity_at_completion"),
    "weighted_milestone": ("reached",),
    "fixed_formula": ("started", "finished"),
}
EVERYWHERE = ("started", "finished")  # Dates of the work, whatever measures it.
