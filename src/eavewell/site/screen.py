"""A screen or filter that water passes before the store."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Screen:
    """kept_share: share of the water that goes on to the store; the rest leaves with the leaves."""

    name: str
    kept_share: float
