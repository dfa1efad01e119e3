"""The report in words and tables, made from the answers; the screen and the papers set it."""
