"""The picture laid beneath the plan: checked by what it is, kept as a plain PNG, set to scale."""

import tomllib
import warnings
from dataclasses import asdict, dataclass, replace
from io import BytesIO
from math import hypot, isfinite
from pathlib import Path
from typing import TYPE_CHECKING

from eavewell.faults import BadPicture
from eavewell.files.pdf_pages import opened
from eavewell.files.plain_file import plain_bytes
from eavewell.files.site.edit import write_bytes_beside
from eavewell.site.outline import Corner

if TYPE_CHECKING:
    from PIL.Image import Image

PICTURE, PLACE = "underlay.png", "underlay.toml"
LARGEST_BYTES, MOST_PIXELS, LONGEST_PX = 24_000_000, 60_000_000, 2400
FIRST_LONGEST_M = 60.0  # across, until a distance is told
TOO_MANY = f"The picture has more than {MOST_PIXELS // 1_000_000} million points: reduce it."
KINDS = "a PNG or JPEG picture, or a PDF"


@dataclass(frozen=True, slots=True)
class Underlay:
    """A picture beneath the plan; scaled : whether a distance was told; its lower left in m."""

    wide_px: int
    high_px: int
    m_per_px: float
    scaled: bool = False
    left_m: float = 0.0
    low_m: float = 0.0


def lay(data: bytes, folder: Path, *, page: int = 1) -> Underlay:
    """Keep a picture in a folder in place of the one before.

    page : of a PDF, counted from 1. Raises BadPicture with one sentence.
    """
    picture = _picture(data, page)
    out = BytesIO()
    picture.save(out, "PNG")
    folder.mkdir(exist_ok=True)
    write_bytes_beside(folder / PICTURE, out.getvalue())
    wide, high = picture.size
    return _kept(folder, Underlay(wide, high, FIRST_LONGEST_M / max(wide, high)))


def underlay_in(folder: Path) -> Underlay | None:
    """The picture that lies in a folder; None where there is none that can be read."""
    try:
        said = tomllib.loads(plain_bytes(folder / PLACE).decode("utf-8"))
        found = Underlay(**{name: said[name] for name in Underlay.__slots__})
        sizes = (found.wide_px, found.high_px, found.m_per_px, found.left_m, found.low_m)
        whole = all(map(isfinite, sizes)) and min(sizes[:3]) > 0
        return found if whole and (folder / PICTURE).is_file() else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def set_scale(folder: Path, ends: tuple[Corner, Corner], *, distance_m: float) -> Underlay:
    """Set the scale by two points on the sheet and the true distance between them.

    Raises BadPicture where there is no picture or the points are one.
    """
    laid = _needed(folder)
    (x, y), (u, v) = ends
    apart_m = hypot(u - x, v - y)
    if apart_m < 4.0 * laid.m_per_px:
        raise BadPicture("The two points lie on one another: take them farther apart.")
    m_per_px = laid.m_per_px * distance_m / apart_m
    if not 1e-4 <= m_per_px <= 10.0:
        raise BadPicture("At that distance the picture would show no building: look again.")
    return _kept(folder, replace(laid, m_per_px=m_per_px, scaled=True))


def set_place(folder: Path, at_m: Corner) -> Underlay:
    """Set where the lower left corner of the picture lies."""
    return _kept(folder, replace(_needed(folder), left_m=at_m[0], low_m=at_m[1]))


def take_away(folder: Path) -> None:
    """Take the picture away."""
    for name in (PICTURE, PLACE):
        (folder / name).unlink(missing_ok=True)


def _needed(folder: Path) -> Underlay:
    laid = underlay_in(folder)
    if laid is None:
        raise BadPicture("There is no picture beneath the plan.")
    return laid


def _kept(folder: Path, laid: Underlay) -> Underlay:
    lines = (f"{name} = {str(said).lower()}" for name, said in asdict(laid).items())
    write_bytes_beside(folder / PLACE, "\n".join((*lines, "")).encode())
    return laid


def _picture(data: bytes, page: int) -> "Image":
    start = data[:1024].lstrip().lower()
    if not data:
        raise BadPicture("The file is empty.")
    if len(data) > LARGEST_BYTES:
        raise BadPicture(f"The picture is larger than {LARGEST_BYTES // 1_000_000} MB: reduce it.")
    if data[:5] == b"%PDF-":
        return _of_pdf(data, page)
    if b"<svg" in start or start.startswith((b"<?xml", b"<!doctype")):
        raise BadPicture(f"That is an SVG drawing or a web page, which may run things: {_bring()}")
    if data[:2] == b"PK":
        raise BadPicture(f"That is a zip, whatever it is called: unpack it and {_bring()}")
    return _of_pixels(data)


def _bring() -> str:
    return f"bring {KINDS}."


def _of_pixels(data: bytes) -> "Image":
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as one:
                _size_checked(one.size)
                one.verify()
        with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as one:
            return _plain(ImageOps.exif_transpose(one))
    except UnidentifiedImageError:
        raise BadPicture(f"That is neither PNG nor JPEG nor PDF: {_bring()}") from None
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise BadPicture(TOO_MANY) from None
    except (OSError, SyntaxError, ValueError) as refused:
        raise BadPicture(f"The picture is damaged and cannot be read: {_bring()}") from refused


def _size_checked(size: tuple[int, int]) -> None:
    wide, high = size
    if wide * high > MOST_PIXELS:
        raise BadPicture(TOO_MANY)
    if min(wide, high) < 16:
        raise BadPicture("The picture is too small to trace anything.")


def _plain(one: "Image") -> "Image":
    """Its pixels alone, on white where it is clear, not larger than needed."""
    from PIL import Image

    one.thumbnail((LONGEST_PX, LONGEST_PX))
    full = one.convert("RGBA")
    paper = Image.new("RGB", full.size, "white")
    paper.paste(full, mask=full.getchannel("A"))
    return paper


def _of_pdf(data: bytes, page: int) -> "Image":
    from pypdfium2 import PdfiumError

    try:
        with opened(data) as document:
            if not 1 <= page <= len(document):
                raise BadPicture(f"The PDF has {len(document)} pages: there is no page {page}.")
            one = document[page - 1]
            longest = max(one.get_size())
            if longest <= 0:
                raise BadPicture(f"Page {page} of the PDF has no size.")
            picture: Image = one.render(scale=LONGEST_PX / longest).to_pil()
    except PdfiumError:
        says = "The PDF is damaged or locked and cannot be read: bring another or a picture of it."
        raise BadPicture(says) from None
    _size_checked(picture.size)
    return _plain(picture)
