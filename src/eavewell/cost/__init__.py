"""What a system is made of and what it costs: parts, prices, and its whole life."""
