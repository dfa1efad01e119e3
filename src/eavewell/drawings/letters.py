"""Letters as outlines in millimetres, so that a drawing needs no font where it is printed.

The family is Fira Sans (SIL Open Font License), its bold and medium weights, from a package.
"""

import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files
from io import BytesIO
from threading import RLock
from typing import Any, Literal

from eavewell.faults import EavewellFault, Fault

Weight = Literal["Bold", "Medium"]
_UNPACKING = RLock()  # a font unpacks its tables where they are first read, in one thread alone


def width_mm(text: str, capital_mm: float, *, weight: Weight = "Bold") -> float:
    """Width of one line whose capitals stand capital_mm high."""
    font = _font(weight)
    return sum(_advance(font, letter) for letter in tidy(text)) * _scale(font, capital_mm)


def outline(
    text: str, capital_mm: float, *, at: tuple[float, float], weight: Weight = "Bold"
) -> str:
    """One line as the data of an SVG path; at : left end of its base line, mm, y downward."""
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.pens.transformPen import TransformPen

    font, (x_mm, y_mm) = _font(weight), at
    scale, written = _scale(font, capital_mm), SVGPathPen(None, ntos=_number)
    for letter in tidy(text):
        placed = TransformPen(written, (scale, 0.0, 0.0, -scale, x_mm, y_mm))
        _shape(font, letter).replay(placed)
        x_mm += _advance(font, letter) * scale
    return str(written.getCommands())


def wrapped(
    text: str, capital_mm: float, *, most_mm: float, weight: Weight = "Bold"
) -> tuple[str, ...]:
    """Text in lines no wider than most_mm; a word that is wider by itself is broken."""
    lines: list[str] = []
    for word in _broken(tidy(text).split(" "), capital_mm, most_mm=most_mm, weight=weight):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, capital_mm, weight=weight) <= most_mm:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(line for line in lines if line)


def wrapped_evenly(
    text: str, capital_mm: float, *, most_mm: float, weight: Weight = "Bold"
) -> tuple[str, ...]:
    """The same number of lines as wrapped, but of more equal length."""
    lines = wrapped(text, capital_mm, most_mm=most_mm, weight=weight)
    for narrower in range(96, 40, -4):
        tried = wrapped(text, capital_mm, most_mm=most_mm * narrower / 100.0, weight=weight)
        if len(tried) != len(lines):
            break
        lines = tried
    return lines


def refuse_missing(texts: Iterable[str]) -> None:
    """Raise EavewellFault with one sentence for each text whose letters the fonts lack."""
    faults = []
    for text in dict.fromkeys(texts):
        lacking = "".join(dict.fromkeys(letter for letter in tidy(text) if not _has(letter)))
        if lacking:
            faults.append(
                Fault(
                    f"The letters for labels lack {', '.join(map(repr, lacking))}: name it in "
                    "Latin, Greek or Cyrillic letters.",
                    where=repr(text),
                )
            )
    if faults:
        raise EavewellFault(faults)


def tidy(text: str) -> str:
    """Composed letters, single blanks."""
    return " ".join(unicodedata.normalize("NFC", text).split())


def _broken(
    words: Iterable[str], capital_mm: float, *, most_mm: float, weight: Weight
) -> Iterator[str]:
    for word in words:
        if width_mm(word, capital_mm, weight=weight) <= most_mm:
            yield word
            continue
        piece = ""
        for letter in word:
            if piece and width_mm(piece + letter, capital_mm, weight=weight) > most_mm:
                yield piece
                piece = ""
            piece += letter
        yield piece


def _has(letter: str) -> bool:
    return all(ord(letter) in _named(_font(weight)) for weight in ("Bold", "Medium"))


@cache
def _font(weight: Weight) -> Any:
    """The font itself; Any: its package carries no types."""
    from fontTools.ttLib import TTFont

    file = files("fontpkg_fira_sans").joinpath("files", f"FiraSans-{weight}.ttf")
    return TTFont(BytesIO(file.read_bytes()), lazy=True)


@cache
def _named(font: Any) -> dict[int, str]:
    with _UNPACKING:
        return dict(font.getBestCmap())


@cache
def _advance(font: Any, letter: str) -> float:
    name = _named(font).get(ord(letter))
    if name is None:
        refuse_missing([letter])
    with _UNPACKING:
        return float(font["hmtx"][name][0])


@cache
def _shape(font: Any, letter: str) -> Any:
    """The strokes of one letter, its parts put together."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    with _UNPACKING:
        glyphs = font.getGlyphSet()
        drawn = DecomposingRecordingPen(glyphs)
        glyphs[_named(font)[ord(letter)]].draw(drawn)
    return drawn


def _scale(font: Any, capital_mm: float) -> float:
    return capital_mm / _capital(font)


@cache
def _capital(font: Any) -> float:
    with _UNPACKING:
        return float(font["OS/2"].sCapHeight)


def capital_share(weight: Weight) -> float:
    """Height of a capital over the size that a font is called by."""
    font = _font(weight)
    with _UNPACKING:
        return _capital(font) / float(font["head"].unitsPerEm)


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def shortened(name: str, most: int = 36) -> str:
    """A name that a drawing has room for."""
    whole = tidy(name)
    return whole if len(whole) <= most else f"{whole[: most - 3].rstrip()}..."
