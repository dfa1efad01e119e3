"""Sheets to print labels on at true size, with cut marks and a bar to check the size by."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from eavewell.drawings.label_face import Face, Flow, lay_out
from eavewell.drawings.labels import drawn, page, read_out
from eavewell.drawings.letters import outline, refuse_missing, wrapped
from eavewell.site.label import Label
from eavewell.site.place import Show
from eavewell.tables import table, texts

WORDS = texts.words("sheets")
PAPER_MM = {"us": (279.4, 215.9), "metric": (297.0, 210.0)}
INK, RUST = "#1f2a30", "#8f2f14"
MARGIN, TOP, FOOT, GAP, TICK, CAPTION = 10.0, 9.0, 16.0, 9.0, 4.0, 2.2


@dataclass(frozen=True, slots=True)
class Piece:
    """One label, or one of the equal pieces in which a large one is printed.

    number : counted along each row from the left, the upper row first.
    """

    label: Label
    flow: Flow
    face: Face
    number: int
    columns: int
    rows: int

    @property
    def width_mm(self) -> float:
        """Width of the piece."""
        return self.face.width_mm / self.columns

    @property
    def height_mm(self) -> float:
        """Height of the piece."""
        return self.face.height_mm / self.rows

    @property
    def tall_mm(self) -> float:
        """Height on the sheet, with the caption under it."""
        return self.height_mm + GAP


def label_sheets(labels: Iterable[Label], *, system: Show, site: str) -> tuple[str, ...]:
    """Lay every label on a sheet once, with how often it is needed; a pipe's once for each flow.

    A label larger than a sheet lies on several, in pieces. The sheets are SVG.

    system : "us" prints on Letter, "metric" on A4, both lying on their long side.
    site   : its name, at the head of every sheet.
    Raises EavewellFault for letters that the fonts lack.
    """
    labels = tuple(labels)
    refuse_missing((site, *(name for label in labels for name in label.where)))
    pieces = [
        piece
        for label in labels
        for flow in flows(label)
        for piece in _pieces(label, flow, system=system)
    ]
    sheets = _filled(pieces, room(system)[1])
    return tuple(
        _sheet(
            sheet,
            system,
            head=WORDS.say(
                "label_sheets.page.labels_sheet", number=number, sheets=len(sheets), site=site
            ),
        )
        for number, sheet in enumerate(sheets, 1)
    )


def flows(label: Label) -> tuple[Flow, ...]:
    """The ways its arrow may point; one where it has none."""
    return ("right", "left") if label.flows else ("right",)


def room(system: Show) -> tuple[float, float]:
    """Width and height in mm that labels may take on a sheet."""
    width, height = PAPER_MM[system]
    return width - 2.0 * MARGIN, height - 2.0 * MARGIN - TOP - FOOT


def _pieces(label: Label, flow: Flow, *, system: Show) -> Iterator[Piece]:
    face, (width, height) = lay_out(label, flow), room(system)
    columns, rows = math.ceil(face.width_mm / width), math.ceil(face.height_mm / (height - GAP))
    for number in range(columns * rows):
        yield Piece(label, flow, face, number, columns, rows)


def _filled(pieces: Iterable[Piece], high: float) -> list[list[Piece]]:
    """The highest first, each on the first sheet that has room under what is there."""
    sheets: list[list[Piece]] = []
    for piece in sorted(pieces, key=lambda one: -one.tall_mm):
        for sheet in sheets:
            if sum(one.tall_mm for one in sheet) + piece.tall_mm <= high:
                sheet.append(piece)
                break
        else:
            sheets.append([piece])
    return sheets


def _sheet(sheet: list[Piece], system: Show, *, head: str) -> str:
    width, height = PAPER_MM[system]
    parts = [f'<rect width="{width:g}" height="{height:g}" fill="#ffffff"/>']
    parts.append(_words(_first(head, 3.0, most_mm=room(system)[0]), 3.0, at=(MARGIN, MARGIN + 3.0)))
    y_mm = MARGIN + TOP
    for piece in sheet:
        parts.append(f'<g transform="translate({MARGIN:g} {y_mm:.2f})">')
        parts += [_drawn(piece), _cut_marks(piece), _caption(piece), "</g>"]
        y_mm += piece.tall_mm
    parts.append(_check_bar(height - MARGIN - 5.0))
    said = dict.fromkeys(read_out(piece.label) for piece in sheet)
    return page("\n".join(parts), (width, height), title=f"{head}. {' '.join(said)}")


def _drawn(piece: Piece) -> str:
    """The piece: the whole label, or what of it lies between its own edges."""
    whole = drawn(piece.label, piece.face)
    if piece.columns * piece.rows == 1:
        return whole
    width, height = piece.width_mm, piece.height_mm
    row, column = divmod(piece.number, piece.columns)
    left, top = column * width, row * height
    return (
        f'<svg width="{width:.2f}" height="{height:.2f}" '
        f'viewBox="{left:.2f} {top:.2f} {width:.2f} {height:.2f}">\n{whole}\n</svg>'
    )


def _caption(piece: Piece) -> str:
    """How often it is needed and where, under the label, outside the cut."""
    label = piece.label
    needed = WORDS.say("label_sheets.caption.needed", count=label.count)
    if label.flows:
        needed += WORDS.say("label_sheets.caption.arrow_with_water")
    pieces = piece.columns * piece.rows
    if pieces > 1:
        needed += WORDS.say("label_sheets.caption.piece", number=piece.number + 1, pieces=pieces)
    says = _first(
        f"{needed}: {', '.join(label.where)}", CAPTION, most_mm=piece.width_mm - 2.0 * TICK
    )
    return _words(says, CAPTION, at=(TICK, piece.height_mm + CAPTION + 1.5))


def _first(text: str, capital_mm: float, *, most_mm: float) -> str:
    """As much of a text as one line holds."""
    lines = wrapped(text, capital_mm, most_mm=most_mm - 3.0 * capital_mm, weight="Medium")
    return lines[0] if len(lines) == 1 else f"{lines[0]} ..."


def _cut_marks(piece: Piece) -> str:
    """Ticks beyond every corner, so that the cut itself stays clean."""
    ticks = []
    for x, out_x in ((0.0, -1.0), (piece.width_mm, 1.0)):
        for y, out_y in ((0.0, -1.0), (piece.height_mm, 1.0)):
            ticks.append(f"M{x + out_x:.2f} {y:.2f}h{out_x * (TICK - 1.0):.2f}")
            ticks.append(f"M{x:.2f} {y + out_y:.2f}v{out_y * (TICK - 1.0):.2f}")
    return f'<path d="{"".join(ticks)}" stroke="{INK}" stroke-width="0.15" fill="none"/>'


def _check_bar(y_mm: float) -> str:
    """A bar of known length, with what to do where it comes out otherwise."""
    long_mm = table("label_figures")["check bar"].value
    bar = f"M{MARGIN:g} {y_mm:g}h{long_mm:g}m0 -2v4M{MARGIN:g} {y_mm - 2.0:g}v4"
    says = (
        WORDS.say(
            "label_sheets.check_bar.measure_this_bar_it", long_mm=long_mm, long_in=long_mm / 25.4
        ),
        WORDS.say("label_sheets.check_bar.if_it_not_print"),
    )
    x_mm = MARGIN + long_mm + 5.0
    lines = [_words(text, 2.5, at=(x_mm, y_mm + 4.4 * i)) for i, text in enumerate(says)]
    drawn_bar = f'<path id="check-bar" d="{bar}" stroke="{RUST}" stroke-width="0.5" fill="none"/>'
    return "\n".join((drawn_bar, *lines))


def _words(text: str, capital_mm: float, *, at: tuple[float, float]) -> str:
    return f'<path d="{outline(text, capital_mm, at=at, weight="Medium")}" fill="{INK}"/>'
