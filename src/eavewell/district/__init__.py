"""Many roofs asked at once: the same balance, with the roofs of one record side by side."""
