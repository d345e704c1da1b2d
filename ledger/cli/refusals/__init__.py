"""The sentences of refusals: what a user reads of an error's kind, fields and remedy."""
