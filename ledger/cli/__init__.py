"""Commands: parse, call one function, print."""
