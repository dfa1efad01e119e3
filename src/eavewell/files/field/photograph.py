"""A photograph from a visit: checked by what it is, kept as JPEG without the place it tells."""

import re
from io import BytesIO
from pathlib import Path

from eavewell.faults import BadPicture
from eavewell.files.site.edit import write_bytes_beside

PHOTOS = "photos"
LARGEST_BYTES, MOST_PIXELS, LONGEST_PX = 24_000_000, 60_000_000, 2400
MOST_OF_ONE = 20
_NAME = re.compile(r"([A-Za-z][A-Za-z0-9-]*?)(?:-(?:[2-9]|1[0-9]|20))?\.jpg")


def keep_photograph(data: bytes, folder: Path, *, item: str) -> str:
    """Keep one photograph of an item; the name of its file. The same one is kept once.

    item : the item's name on the sheet, letters, digits and hyphens alone.
    Raises BadPicture with a sentence.
    """
    pixels = _pixels(data)
    folder.mkdir(exist_ok=True)
    for row in range(1, MOST_OF_ONE + 1):
        file = folder / (f"{item}.jpg" if row == 1 else f"{item}-{row}.jpg")
        if not file.exists():
            write_bytes_beside(file, pixels)
            return file.name
        if file.read_bytes() == pixels:
            return file.name
    raise BadPicture(f"There are {MOST_OF_ONE} photographs of this already: take some away first.")


def photographs(folder: Path) -> tuple[str, ...]:
    """Names of the photographs that are kept in a folder; a link is none."""
    if not folder.is_dir():
        return ()
    kept = (one for one in folder.glob("*.jpg") if one.is_file() and not one.is_symlink())
    return tuple(sorted(one.name for one in kept if _NAME.fullmatch(one.name)))


def item_of(name: str) -> str:
    """The item that a photograph shows, by the name of its file."""
    met = _NAME.fullmatch(name)
    return met[1] if met else ""


def _pixels(data: bytes) -> bytes:
    """The picture alone, upright, without anything that the camera wrote beside it."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    if len(data) > LARGEST_BYTES:
        raise BadPicture(f"The photograph is larger than {LARGEST_BYTES // 1_000_000} MB.")
    try:
        with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as one:
            if one.width * one.height > MOST_PIXELS:
                raise BadPicture("The photograph has more than 60 million points: reduce it.")
            one.verify()
        with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as one:
            upright = ImageOps.exif_transpose(one).convert("RGB")
    except UnidentifiedImageError:
        raise BadPicture("That is neither JPEG nor PNG, whatever it is called.") from None
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as refused:
        raise BadPicture("The photograph is damaged and cannot be read.") from refused
    upright.thumbnail((LONGEST_PX, LONGEST_PX))
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    out = BytesIO()
    bare.save(out, "JPEG", quality=88)
    return out.getvalue()
