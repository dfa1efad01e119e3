"""An empty CAD drawing: metres, one layer a kind of thing, dashes, signs and how it measures."""

from typing import Any

from eavewell.drawings.marks import LETTER_MM
from eavewell.drawings.signs import strokes_of
from eavewell.tables import rows

VERSION = "R2010"
LETTERS = "LETTERS"
# names that every program has dashes of its own for, where it leaves ours out
_DASHES = {"buried": "DASHED", "unknown": "DASHED2", "property": "DASHEDX2"}


def empty_document(*, mm: float, size_mm: tuple[float, float]) -> Any:
    """A drawing without marks; Any: the writer's own kind.

    mm : metres of model space for a millimetre of paper. size_mm : the sheet, across and upward.
    """
    from ezdxf import units
    from ezdxf.document import Drawing

    doc = Drawing.new(VERSION)
    doc.units = units.M
    doc.header["$MEASUREMENT"] = 1
    for name, value in dimension_style(mm).items():
        doc.header[f"${name.upper()}"] = value
    # limits of paper are read in the drawing's own unit, which is the metre
    doc.layout("Layout1").dxf.limmin = (0.0, 0.0)
    doc.layout("Layout1").dxf.limmax = tuple(side / 1000.0 for side in size_mm)
    doc.styles.new(LETTERS, dxfattribs={"font": "arial.ttf"})
    _make_layers(doc, mm)
    _make_signs(doc)
    return doc


def dimension_style(mm: float) -> dict[str, float | int]:
    """How a dimension is drawn; mm : units for a millimetre of paper."""
    return {
        "dimtxt": LETTER_MM * mm,
        "dimasz": 2.0 * mm,
        "dimtsz": 1.2 * mm,
        "dimexe": 1.0 * mm,
        "dimexo": 0.0,
        "dimgap": 0.9 * mm,
        "dimtad": 1,
        "dimtih": 0,
        "dimtoh": 0,
        "dimtix": 1,
    }


def block_name(symbol: str) -> str:
    """The block that holds a sign."""
    return symbol.upper().replace(" ", "-")


def _make_layers(doc: Any, mm: float) -> None:
    for row in rows("layers"):
        layer = doc.layers.add(row["layer"].upper())
        layer.rgb = tuple(int(row["ink"][at : at + 2], 16) for at in (1, 3, 5))
        layer.dxf.lineweight = _weight(float(row["width_mm"]))
        if row["dash_mm"]:
            on, off = (float(part) * mm for part in row["dash_mm"].split())
            name = _DASHES[row["layer"]]
            doc.linetypes.add(name, pattern=[on + off, on, -off], description=row["meaning"])
            layer.dxf.linetype = name


def _weight(width_mm: float) -> int:
    """The nearest line weight that the format knows, hundredths of a millimetre."""
    known = (13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)
    return min(known, key=lambda one: abs(one - 100.0 * width_mm))


def _make_signs(doc: Any) -> None:
    for row in rows("symbols"):
        block = doc.blocks.new(block_name(row["symbol"]))
        for stroke in strokes_of(row["symbol"]):
            block.add_lwpolyline(stroke, dxfattribs={"layer": "0"})
