"""One label as an SVG at its true size."""

from html import escape

from eavewell.drawings.label_face import Face, Flow, Line, lay_out
from eavewell.drawings.letters import outline
from eavewell.site.label import Label


def label_svg(label: Label, flow: Flow = "right") -> str:
    """A label whose width and height in mm are those of the thing itself.

    flow : which way the arrow of a pipe points.
    Raises EavewellFault for letters that the fonts lack.
    """
    face = lay_out(label, flow)
    size = (face.width_mm, face.height_mm)
    return page(drawn(label, face), size, title=read_out(label))


def read_out(label: Label) -> str:
    """What a label says, on one line."""
    return " ".join(part for part in (f"{', '.join(label.head)}.", label.more) if part)


def drawn(label: Label, face: Face) -> str:
    """Ground, frame and letters, from the upper left corner."""
    inset = face.edge_mm * 0.3
    frame = (
        f'<rect x="{inset:.2f}" y="{inset:.2f}" width="{face.width_mm - 2 * inset:.2f}" '
        f'height="{face.height_mm - 2 * inset:.2f}" rx="{inset:.2f}" fill="none" '
        f'stroke="{label.letters}" stroke-width="{face.edge_mm * 0.08:.2f}"/>'
    )
    paths = [f'<path d="{_line(line)}"/>' for line in face.lines]
    return "\n".join(
        (
            f'<rect width="{face.width_mm:g}" height="{face.height_mm:.2f}" '
            f'fill="{label.ground}"/>',
            frame,
            f'<g fill="{label.letters}">',
            *paths,
            "</g>",
        )
    )


def _line(line: Line) -> str:
    at = (line.x_mm, line.base_mm)
    return outline(line.text, line.capital_mm, at=at, weight=line.weight)


def page(inside: str, size_mm: tuple[float, float], *, title: str) -> str:
    """An SVG of that width and height whose unit is the millimetre."""
    width_mm, height_mm = size_mm
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:g}mm" '
        f'height="{height_mm:.2f}mm" viewBox="0 0 {width_mm:g} {height_mm:.2f}" role="img">\n'
        f"<title>{escape(title)}</title>\n{inside}\n</svg>\n"
    )
