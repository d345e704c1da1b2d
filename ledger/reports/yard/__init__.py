"""The yard's own pages."""
