"""Charts for paper: each from the plain answer to one SVG, readable in grey."""
