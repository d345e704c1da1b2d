"""What was paid beside what was booked."""
