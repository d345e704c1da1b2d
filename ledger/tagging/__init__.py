"""Where hours belong: codes, rules and postings."""
