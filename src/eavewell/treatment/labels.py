"""Labels and signs of a site, counted, in plain words or the authority's own.

Never for drinking by default: the words say how the water was treated and where its tests are.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache

from eavewell.site.authority import Authority, SignWording
from eavewell.site.label import Label
from eavewell.site.site import Site
from eavewell.tables import rows
from eavewell.treatment.label_letters import Lettering, lettering, pipe_lettering
from eavewell.treatment.label_places import Wears, places

LONGEST_NAME = 60
# the authority words what people read at a tap or on a pipe; the rest stays ours
_AUTHORITY_WORDS = ("tap", "hose", "appliance", "drip", "trough", "pipe")


def labels_of(
    site: Site, judged: frozenset[str] = frozenset(), *, authority: Authority | None = None
) -> tuple[Label, ...]:
    """Every label a site wears, equal ones together.

    judged    : names of uses whose roof, treatment and tests are in, with no failure found; the
                taps of every other line say 'do not drink'.
    authority : whose wording and colours replace ours; None for none.
    """
    signs = {sign.end_use: sign for sign in authority.signs} if authority else {}
    return merged(_dressed(one, signs, authority=authority) for one in places(site, judged))


def merged(labels: Iterable[Label]) -> tuple[Label, ...]:
    """Labels that look alike as one, with every place that wears them."""
    found: dict[Label, Label] = {}
    for label in labels:
        bound = label.most_height_mm and 1.0
        face = replace(label, where=(), count=0, counted=(), most_height_mm=bound)
        found[face] = _together(found[face], label) if face in found else label
    return tuple(found.values())


def _together(one: Label, other: Label) -> Label:
    heights = [label.most_height_mm for label in (one, other) if label.most_height_mm]
    return replace(
        one,
        where=tuple(dict.fromkeys((*one.where, *other.where))),
        count=one.count + other.count,
        counted=(*one.counted, *other.counted),
        most_height_mm=min(heights, default=None),
    )


def _dressed(
    wears: Wears, signs: Mapping[str, SignWording], *, authority: Authority | None
) -> Label:
    words = _words()[wears.what, wears.end_use]
    size, colours = _size(words["size"], wears), _colours()[words["colours"]]
    names = {"name": _short(wears.tank), "line": _short(wears.line), "volume": wears.volume}
    ours = Label(
        what=wears.what,
        end_use=wears.end_use,
        head=tuple(words["head"].split("|")),
        more=words["more"].format(**names),
        where=(wears.where,),
        count=wears.count,
        counted=(wears.counted,),
        letters_mm=size.letters_mm,
        width_mm=size.width_mm,
        most_height_mm=size.most_height_mm,
        letters=colours["letters"],
        ground=colours["ground"],
        flows=words["size"] == "pipe",
        source=f"letters: {size.source}; colours: {colours['place']}; words: our own",
    )
    sign = signs.get(wears.end_use) if wears.what in _AUTHORITY_WORDS else None
    if sign is None or authority is None:
        return ours
    return _as_asked(ours, sign, by=authority, is_sign=words["size"] == "sign")


def _short(name: str) -> str:
    """A name that a label has room for."""
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 3].rstrip()}..."


def _size(size: str, wears: Wears) -> Lettering:
    if size == "pipe" and wears.bore_mm is not None:
        return pipe_lettering(wears.bore_mm)
    return lettering(size)


def _as_asked(ours: Label, sign: SignWording, *, by: Authority, is_sign: bool) -> Label:
    """In the authority's words and colours; what is said of treatment and tests stays.

    is_sign : whether the least height of letters holds; on pipes and tags our own does.
    """
    lines = tuple(line.strip() for line in sign.text.splitlines() if line.strip())
    least = sign.letters_mm if is_sign and sign.letters_mm else 0.0
    asked = replace(
        ours,
        head=lines or ours.head,
        more=ours.more if not lines or ours.end_use == "drinking" else "",
        letters=sign.letters or ours.letters,
        ground=sign.ground or ours.ground,
        letters_mm=max(least, ours.letters_mm),
    )
    return asked if asked == ours else replace(asked, source=_asked_by(ours, sign, by=by))


def _asked_by(ours: Label, sign: SignWording, *, by: Authority) -> str:
    model = ", model file: check yours" if by.is_model else ""
    said = f"{by.name} {by.edition}{model}: {sign.written.in_words}"
    return f"{said}; what it leaves open: {ours.source}"


@cache
def _words() -> dict[tuple[str, str], Mapping[str, str]]:
    return {(row["what"], row["class"]): row for row in rows("label_words")}


@cache
def _colours() -> dict[str, Mapping[str, str]]:
    return {row["colours"]: row for row in rows("label_colours")}
