"""Write a new site file from one of the starters that come with Eavewell."""

import json
import re
from importlib.resources import files
from pathlib import Path

from eavewell.faults import BadSite
from eavewell.files.site.field_values import near

STARTERS = ("barrels", "low-eaves", "part-year", "whole-house")


def starter_text(like: str) -> str:
    """The text of a starter; BadSite for one that does not exist."""
    if like not in STARTERS:
        raise BadSite(f"There is no starter '{like}': {near(like, STARTERS)}")
    starter = files("eavewell.files.site").joinpath("starters", f"{like}.toml")
    return starter.read_text(encoding="utf-8")


def new_site(name: str, like: str, *, folder: Path | str = ".") -> Path:
    """Write <folder>/<name>/site.toml from a starter and return its path.

    name : letters, figures, spaces, hyphens; it names the folder and the site.
    like : one of STARTERS.
    Raises BadSite where something already stands there; nothing is overwritten.
    """
    text = starter_text(like)
    if not re.fullmatch(r"\w[\w -]{0,79}", name) or name != name.strip():
        raise BadSite(f"'{name[:80]}' cannot name a folder: use letters, figures, spaces, hyphens.")
    file = Path(folder) / name / "site.toml"
    text = re.sub(r"(?m)^name = .*$", lambda _: f"name = {json.dumps(name)}", text, count=1)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8") as out:
            out.write(text)
    except FileExistsError:
        raise BadSite(
            f"{file} is there already: choose another name; it was not touched."
        ) from None
    except OSError as refused:
        raise BadSite(f"{file} cannot be written: {refused.strerror}.") from None
    return file
