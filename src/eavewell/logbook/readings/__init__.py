"""Readings of gauges as levels, volumes and the daily log."""
