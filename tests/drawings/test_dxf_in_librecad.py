"""Every sheet drawn by a second program: LibreCAD prints the DXF, and its ink lies where ours does.

Skipped where LibreCAD or pdftoppm is missing, but for a build server, where that fails.
"""

import os
import shutil
import subprocess
from itertools import pairwise

import numpy as np
import pytest
from tests.drawings.every_sheet import NAMES, sheets_of

from eavewell.drawings.compose import arc_points
from eavewell.drawings.dxf import dxf
from eavewell.drawings.marks import Arc, Stroke
from eavewell.tables import rows

MISSING = [one for one in ("librecad", "pdftoppm") if shutil.which(one) is None]
pytestmark = pytest.mark.skipif(
    bool(MISSING) and "CI" not in os.environ,
    reason=f"{' and '.join(MISSING)} missing: apt-get install librecad poppler-utils",
)
DASHED = {row["layer"] for row in rows("layers") if row["dash_mm"]}
DOTS_IN, DARK, NEAR_DOTS = 110, 225, 2


def printed(papers, folder):
    """Each sheet as LibreCAD prints it, fitted to its page: True where there is ink."""
    assert not MISSING, f"{MISSING} missing: the DXF cannot be proven in a second program"
    files = {name: folder / f"{name}.dxf" for name in papers}
    for name, paper in papers.items():
        files[name].write_text(dxf(paper), encoding="utf-8")
    quiet = {"QT_QPA_PLATFORM": "offscreen", "HOME": str(folder), "XDG_RUNTIME_DIR": str(folder)}
    run = ["librecad", "dxf2pdf", "-a", "-c", "-t", str(folder), *map(str, files.values())]
    subprocess.run(run, env=os.environ | quiet, timeout=120, check=True, capture_output=True)
    return {name: ink(file.with_suffix(".pdf")) for name, file in files.items()}


def ink(pdf):
    run = ["pdftoppm", "-r", str(DOTS_IN), "-gray", "-singlefile", str(pdf), str(pdf)]
    subprocess.run(run, timeout=60, check=True, capture_output=True)
    kind, size, _, dots = pdf.with_suffix(".pdf.pgm").read_bytes().split(b"\n", 3)
    assert kind == b"P5"
    width, height = map(int, size.split())
    return np.frombuffer(dots, np.uint8).reshape(height, width) < DARK


def wider(dots):
    """Ink with what is near it."""
    found = dots.copy()
    for axis in (0, 1):
        for by in range(1, NEAR_DOTS + 1):
            found |= np.roll(found, by, axis) | np.roll(found, -by, axis)
    return found


def dots_of(paper, dots):
    """Where a point of paper lies in the picture: the sheet as wide as the page, in its middle."""
    high, wide = dots.shape
    scaled = [view for view in paper.sheet.views if not view.in_mm]
    pressed = scaled[0].across / scaled[0].up if len(scaled) == 1 else 1.0

    def place(points):
        x, y = np.asarray(points, dtype=float).T
        down = (paper.height_mm / 2 - y) * pressed
        return tuple(
            np.rint(at * wide / paper.width_mm).astype(int)
            for at in (x, down + paper.width_mm * high / wide / 2)
        )

    return place


def points_along(paper):
    """Points along the strokes and arcs of a sheet that are drawn through, a few mm apart."""
    for view in paper.sheet.views:
        for mark in view.marks:
            if not isinstance(mark, Stroke | Arc) or mark.layer in DASHED:
                continue
            ends = arc_points(mark) if isinstance(mark, Arc) else mark.points
            for start, end in pairwise([view.on_paper(point) for point in ends]):
                count = 2 + int(np.hypot(end[0] - start[0], end[1] - start[1]) / 3.0)
                yield from np.linspace(start, end, count)[1:-1] if count > 2 else ()


@pytest.mark.parametrize("name", NAMES)
def test_another_program_draws_every_sheet_where_we_do(name, tmp_path):
    papers = sheets_of(name)
    for sheet, dots in printed(papers, tmp_path).items():
        paper = papers[sheet]
        assert 0.003 < dots.mean() < 0.15, (sheet, dots.mean())
        place, near = dots_of(paper, dots), wider(dots)
        points = np.array(list(points_along(paper)))
        x, y = place(points)
        drawn = near[y, x]
        middle = (paper.width_mm / 2, paper.height_mm / 2)
        for right in (False, True):
            for high in (False, True):
                part = ((points[:, 0] > middle[0]) == right) & ((points[:, 1] > middle[1]) == high)
                assert not part.any() or drawn[part].mean() > 0.95, (sheet, right, high)
        for one in paper.words:
            corners = [(one.box.left, one.box.high), (one.box.right, one.box.low)]
            (left, right), (top, low) = place(corners)
            assert dots[top : low + 1, left : right + 1].any(), (sheet, one.text.words)
