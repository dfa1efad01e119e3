"""Eavewell: design and look after systems that live on rain."""

__version__ = "0.1.0"
