"""The blocks of a report as HTML: the same words and tables that the papers carry."""

from collections.abc import Iterable

from markupsafe import Markup, escape

from eavewell.report.blocks import Block, Caution, Heading, Line, Marked, Rows, Words
from eavewell.report.strip import Strip
from eavewell.web.strip_drawing import strip_drawing

# a strip of letters marks by letters what the drawn one marks by ink
DRAWN = {"; . a month": "; rust below the line: a month", "; ^ the worst": "; shaded: the worst"}


def in_html(blocks: Iterable[Block]) -> Markup:
    """Blocks as HTML, in order."""
    return Markup("\n").join(_block(block) for block in blocks)


def _block(block: Block) -> Markup:
    if isinstance(block, Heading):
        return Markup("<h3>{}</h3>").format(block.words)
    if isinstance(block, Caution):
        return Markup('<p class="caution">{}</p>').format(block.words) if block.words else Markup()
    if isinstance(block, Words | Line):
        return _words(block)
    if isinstance(block, Rows):
        return _table(block)
    if isinstance(block, Marked):
        mark = Markup('<p class="marked"><b>{}</b> {}</p>')
        return mark.format(block.mark, block.words)
    return strip_drawing(block) if isinstance(block, Strip) else Markup()


def _words(block: Words | Line) -> Markup:
    tag = {"bold": "strong", "italic": "em"}.get(block.style, "")
    if not block.words:
        return Markup()
    words = block.words
    for letter, ink in DRAWN.items():
        words = words.replace(letter, ink)
    inner = Markup(f"<{tag}>{{}}</{tag}>").format(words) if tag else escape(words)
    return Markup("<p>{}</p>").format(inner)


def _table(block: Rows) -> Markup:
    head = _row("th", block.head, block=block)
    body = Markup().join(_with_note(block, at) for at in range(len(block.rows)))
    return Markup(
        '<div class="wide" tabindex="0" role="region" aria-label="{}"><table><thead>{}</thead>'
        "<tbody>{}</tbody></table></div>"
    ).format(_called(block), head, body)


def _called(block: Rows) -> str:
    """What a table that may have to be scrolled is called."""
    return f"Table: {', '.join(filter(None, (' '.join(one.split()) for one in block.head)))}"


def _with_note(block: Rows, at: int) -> Markup:
    row = _row("td", block.rows[at], block=block)
    if not block.notes or not block.notes[at]:
        return row
    note = Markup('<tr class="note"><td colspan="{}"><span>{}</span></td></tr>')
    return row + note.format(len(block.head), block.notes[at])


def _row(tag: str, cells: tuple[str, ...], *, block: Rows) -> Markup:
    """One row; above a column without a name stands no head."""
    kinds = ("" if at in block.names else ' class="figure"' for at in range(len(cells)))
    begun = {"th": 'th scope="col"'}.get(tag, tag)
    made = (
        Markup(f"<{begun}{kind}>{{}}</{tag}>" if cell else f"<td{kind}></td>").format(cell)
        for kind, cell in zip(kinds, cells, strict=True)
    )
    return Markup("<tr>{}</tr>").format(Markup().join(made))
