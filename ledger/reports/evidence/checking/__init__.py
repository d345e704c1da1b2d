"""The script that checks an evidence pack without the program, in parts."""
