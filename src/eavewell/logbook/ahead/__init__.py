"""From today's level on: every year of the record from this date, and what it means."""
