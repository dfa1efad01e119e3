"""Who wants how much water on each day."""
