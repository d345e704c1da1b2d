"""Documents issued: numbers, facts, and the register of what was sent."""
