"""The job card, its calendar and the periods of the yard."""
