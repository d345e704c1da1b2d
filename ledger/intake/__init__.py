"""Files in: read, checked, booked or held."""
