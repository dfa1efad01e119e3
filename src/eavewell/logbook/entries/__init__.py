"""Entries as people write them: typed, on a form, from paper, a telephone or a file."""
