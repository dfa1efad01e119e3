"""What stands beside a field to fill in: its meaning, an example, its limits."""

import re

from eavewell.files.site.fields import Field
from eavewell.site.place import Show
from eavewell.tables import rows
from eavewell.units import quantities, read, show

# tables that the text of a file names, and the page shows as lists to choose from
_IN_PLAIN_WORDS = (
    (r"^A row of tables/\w+\.csv\.$", ""),
    (r"\bA row of tables/\w+\.csv", "One of the list"),
    (r", by the names of tables/\w+\.csv", ""),
    (r" in tables/\w+\.csv", " of the list"),
    (r" of tables/\w+\.csv", ""),
)

_SIDES = {"us": "62 ft x 44 ft", "metric": "19 m x 13.5 m"}


def meaning_of(field: Field) -> str:
    """What a field means, without what only somebody who writes the text has to know."""
    plain = re.sub(r"(^|,? )[Ss]uch as [\[{].*?[\]}]+(?=[.;])", "", field.meaning)
    for told, plainly in _IN_PLAIN_WORDS:
        plain = re.sub(told, plainly, plain)
    plain = re.sub(r"^true\b", "yes", plain).strip(" .;")
    plain = re.sub(r"^false\b", "no", plain).replace("; false for", "; no for")
    if re.split(r"\W", plain, maxsplit=1)[0] in field.choices:  # as the list spells it
        return f"{plain}."
    return f"{plain[:1].upper()}{plain[1:]}." if plain else ""


def otherwise_of(field: Field, system: Show) -> str:
    """What holds where a field is left out; "" where it then stays unknown."""
    if field.quantity == "yes or no":
        return {"true": "yes", "false": "no"}.get(field.otherwise, "")
    if field.otherwise and field.quantity in quantities():
        return show(read(field.otherwise, field.quantity), field.quantity, system=system)
    return field.otherwise


def hint_of(field: Field, system: Show) -> str:
    """An example of a size with its unit; none that the field itself would refuse."""
    if field.quantity == "area" and field.name == "plan":
        return _SIDES[system]
    for row in rows("quantities"):
        if row["quantity"] == field.quantity:
            example = row[f"example_{system}"]
            return example if _within(read(example, field.quantity), field) else ""
    return ""


def _within(value: float, field: Field) -> bool:
    low, high = field.low, field.high
    return (low is None or value >= low) and (high is None or value <= high)


def limits_of(field: Field, system: Show) -> str:
    """What can be right, in words."""
    if field.low is None and field.high is None:
        return ""
    unit = field.quantity in quantities()
    low, high = (
        None if limit is None else _shown(limit, field.quantity if unit else "", system=system)
        for limit in (field.low, field.high)
    )
    return f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"


def _shown(limit: float, quantity: str, *, system: Show) -> str:
    return show(limit, quantity, system=system) if quantity else f"{limit:,.10g}"
