"""A number and what it counts, as a reader says it: 1 day, 2 days."""


def counted(number: int, one: str) -> str:
    """The number with its noun; `one` is the noun for one thing, and takes an s for more."""
    return f"{number:,} {one}" if number == 1 else f"{number:,} {one}s"
