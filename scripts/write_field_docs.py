"""Write the pages of fields from the fields tables; with --check only say whether they are fresh.

docs/site_file.md is written whole; of docs/authority_file.md and docs/district_file.md what stands
below their marker.
"""

import sys
from pathlib import Path

from eavewell.files.site.fields import (
    Field,
    Fields,
    authority_fields,
    district_fields,
    fields,
)
from eavewell.units import quantities

DOCS = Path(__file__).parents[1] / "docs"
MARKER = "<!-- Below: written by scripts/write_field_docs.py -->\n"
HEAD = """# The site file

A site file is [TOML](https://toml.io) text. Every size is text with its unit, such as
`"1,500 ft2"`, `"9 ft 6 in"`, `"34 gal/day"` or `"2.5 m3"`; a bare number where a unit is needed is
refused. Unknown stays unknown: a field that is left out is never guessed, unless its row names a
value for that case. Four sites to start from are written by `eavewell new`, and stand in
`examples/`.

This page is written by `scripts/write_field_docs.py` from `src/eavewell/tables/fields/`.
"""
ORDER = [
    "site",
    "place",
    "rain",
    "storm",
    "goal",
    "roof",
    "pipe",
    "tank",
    "lift",
    "hauled",
    "line",
    "use",
    "ground",
    "plan",
    "water",
    "rules",
    "money",
    "power",
    "weigh",
    "log",
    "piece",
    "pump",
    "calendar",
    "authority",
    "district",
]
TITLES = {
    "site": "Top of the file",
    "authority": "Top of the file",
    "district": "Top of the file",
    "calendar": "when",
    "piece": "a piece of pipe",
    "pump": "own_pump",
    "goal": "goal, by the name of the use",
}
WORDS = {
    "yes or no": "true or false",
    "count": "whole number",
    "volume or share": 'volume, or share such as `"30 %"`',
    "names": "list of names",
    "factors": "one number, or twelve",
    "corners": "list of pairs",
    "strapping": "list of pairs",
    "seasons": "list of pairs",
    "dates": "list of pairs of dates",
    "curve": "list of pairs",
    "levels": "list of levels",
    "fittings": "counts by name",
    "distances": "distances by name",
    "months": "list of months",
    "money": 'money such as `"$120"`',
    "money per volume": "money for a volume",
    "volumes": "list of volumes",
    "areas": "list of areas",
    "shares": "list of shares",
    "clock": 'time of day such as `"7:30"`',
    "figure": 'figure of the gauge such as `"1/4 in"`',
    "known levels": "list of pairs",
    "counts": "list of whole numbers",
    "weekdays": "list of weekdays",
}


def kind(field: Field) -> str:
    """What is written in the field, for the table."""
    if field.inner:
        target = (
            field.inner.replace("goals", "goal")
            .removeprefix("authority.")
            .removeprefix("district.")
        )
        return ("list of " if field.quantity.startswith("list") else "table ") + f"`{target}`"
    if field.quantity in quantities():
        asked = quantities()[field.quantity]
        example = asked.example_us.replace(chr(34), "")
        return f'{asked.name.replace("_", " ")}, `"{example}"`'
    if field.choices:
        return "one of: " + ", ".join(f"`{choice}`" for choice in field.choices)
    return WORDS.get(field.quantity, field.quantity)


def own_name(section: str) -> str:
    """A section as its own file calls it."""
    return section.removeprefix("authority.").removeprefix("district.")


def limits(field: Field) -> str:
    """Least and most, in the internal unit."""
    unit = quantities()[field.quantity].internal if field.quantity in quantities() else ""
    parts = [
        f"{word} {limit:,.10g}"
        for word, limit in (("from", field.low), ("to", field.high))
        if limit is not None
    ]
    return " ".join([*parts, unit]).strip() if parts else ""


def sections(known: Fields) -> str:
    """A heading and a table for each section."""
    parts = []
    for section in sorted(known, key=lambda name: ORDER.index(name.split(".")[0])):
        parts.append(f"\n## {TITLES.get(section, own_name(section))}\n")
        parts.append("| field | meaning | what is written | needed | left out | limits |")
        parts.append("|---|---|---|---|---|---|")
        for field in known[section].values():
            needed = "yes" if field.required else ""
            parts.append(
                f"| `{field.name}` | {field.meaning} | {kind(field)} | {needed} | "
                f"{field.otherwise} | {limits(field)} |"
            )
    return "\n".join(parts) + "\n"


def pages() -> dict[Path, str]:
    """Every page as it should stand."""
    known = {"authority_file.md": authority_fields(), "district_file.md": district_fields()}
    by_hand = {name: _by_hand(DOCS / name) for name in known}
    return {
        DOCS / "site_file.md": f"{HEAD}\n{sections(fields()).lstrip()}",
        **{DOCS / name: by_hand[name] + MARKER + sections(known[name]) for name in known},
    }


def _by_hand(guide: Path) -> str:
    return guide.read_text(encoding="utf-8").partition(MARKER)[0]


def main() -> int:
    """Write the pages, or check them."""
    for file, text in pages().items():
        if "--check" not in sys.argv:
            file.write_text(text, encoding="utf-8")
        elif not file.exists() or file.read_text(encoding="utf-8") != text:
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
