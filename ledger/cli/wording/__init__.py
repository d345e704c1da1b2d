"""What commands returned, in words: one line a string, as it is printed."""
