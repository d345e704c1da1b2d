"""Pure rules: no files, no clock, no SQL."""
