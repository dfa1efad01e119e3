"""Eavewell: design and look after systems that live on rain."""

__all__ = ["__version__"]

__version__ = "0.1.0"
