"""The page on the screen: tables fold where a reader can follow."""

from io import StringIO

from rich.console import Console

from eavewell.report.blocks import ruled
from eavewell.terminal.page import laid_out


def set_in(width, head, rows):
    out = StringIO()
    table = ruled(head, rows, names=tuple(range(len(head))))
    Console(file=out, width=width, color_system=None).print(laid_out([table]))
    return out.getvalue()


def test_names_fold_between_words_before_a_word_is_broken():
    rows = [("transmittance", "no failure found", "2 Nov 2026")]
    text = set_in(40, ("test", "state", "on"), rows)
    assert "transmittance" in text
    assert "no failure found" not in text
    assert max(len(line) for line in text.splitlines()) <= 40


def test_a_word_is_broken_where_nothing_else_is_left():
    rows = [("transmittance", "transmittance", "2026")]
    text = set_in(30, ("test", "state", "on"), rows)
    assert "transmittance" not in text
    assert max(len(line) for line in text.splitlines()) <= 30
