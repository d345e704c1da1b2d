"""Small files in: tables and TOML, all faults at once."""
