"""The book: the only code that talks to the database."""
