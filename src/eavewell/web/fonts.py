"""The letters of the pages: the families of the papers, cut down to what a page writes."""

from functools import cache
from importlib.resources import files
from io import BytesIO

FACES = {
    "spectral.woff": ("fontpkg_spectral", "Spectral-Regular.ttf"),
    "spectral-italic.woff": ("fontpkg_spectral", "Spectral-Italic.ttf"),
    "spectral-semibold.woff": ("fontpkg_spectral", "Spectral-SemiBold.ttf"),
    "fira.woff": ("fontpkg_fira_sans", "FiraSans-Regular.ttf"),
    "fira-medium.woff": ("fontpkg_fira_sans", "FiraSans-Medium.ttf"),
}
# Latin with its accents, then dashes, quotation marks, arrows and signs of arithmetic
LETTERS = (*range(0x20, 0x180), *range(0x2010, 0x2040), 0x20AC, 0x2192, 0x2212, 0x2264, 0x2265)


@cache
def face(name: str) -> bytes:
    """One face as WOFF; KeyError for one that there is not."""
    from fontTools import subset

    package, file = FACES[name]
    options = subset.Options(flavor="woff", drop_tables=["FFTM", "meta"], notdef_outline=True)
    with files(package).joinpath("files", file).open("rb") as source:
        font = subset.load_font(source, options)
        cut = subset.Subsetter(options)
        cut.populate(unicodes=LETTERS)
        cut.subset(font)
        made = BytesIO()
        subset.save_font(font, made, options)
    return made.getvalue()
