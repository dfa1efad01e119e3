"""The site file: read with every fault at once, begun from a starter, edited in place."""
