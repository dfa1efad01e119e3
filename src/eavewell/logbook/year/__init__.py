"""One year of a log, for its owner or an authority."""
