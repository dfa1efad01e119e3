"""Formats read into nouns; site files and tables written."""
