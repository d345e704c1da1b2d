"""What may be claimed, and what was."""
