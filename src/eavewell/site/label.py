"""A label or sign that a thing wears."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Label:
    """One label, as often as it is needed.

    what, end_use : a row of tables/label_words.csv. head : its large lines; more : the small print.
    where    : names of the things that wear it. count : how many; counted : how, place by place.
    letters_mm : height of its capitals. width_mm : least width.
    most_height_mm : what may be seen of it from one side of a pipe; None for a sign.
    letters, ground : colours as #rrggbb. flows : whether it carries an arrow of flow.
    source   : where words, colours and height of letters come from.
    """

    what: str
    end_use: str
    head: tuple[str, ...]
    more: str
    where: tuple[str, ...]
    count: int
    counted: tuple[str, ...]
    letters_mm: float
    width_mm: float
    most_height_mm: float | None
    letters: str
    ground: str
    flows: bool
    source: str
