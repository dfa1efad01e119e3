"""What leaks, and the least leak that would have shown."""
