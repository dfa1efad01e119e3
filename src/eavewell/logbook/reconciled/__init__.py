"""The log against the site file: what roofs shed, first flush, use."""
