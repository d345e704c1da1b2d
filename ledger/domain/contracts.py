"""How a contract pays for the work of a job: by a fixed price, by the hour, or against a target."""

FIXED_PRICE, TIME_CHARGE, TARGET = "fixed_price", "time_charge", "target"
CONTRACT_BASES = (FIXED_PRICE, TIME_CHARGE, TARGET)
