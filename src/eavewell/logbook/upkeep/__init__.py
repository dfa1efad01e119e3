"""What is due, and why; water tests and outages."""
