"""Values and keys as TOML text."""

import json
import re
from collections.abc import Mapping
from datetime import date, time


def value_text(value: object) -> str:
    """A value as TOML writes it on one line.

    Raises TypeError for what TOML has no value for.
    """
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        # json writes a surrogate pair where TOML wants one letter, and leaves DEL as it is
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, (date, time)):
        return value.isoformat()
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key_text(key)} = {value_text(one)}" for key, one in value.items())
        return f"{{ {inside} }}" if inside else "{}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(value_text(one) for one in value)}]"
    raise TypeError(f"there is no way to write {type(value).__name__} in the file")


def key_text(key: object) -> str:
    """A key, in quotation marks where it needs them."""
    word = str(key)
    return word if re.fullmatch("[A-Za-z0-9_-]+", word) else value_text(word)


def pair_text(key: object, value: object) -> str:
    """A key and its value as lines of their own; a list of tables has a line for each."""
    if isinstance(value, list) and value and all(isinstance(one, Mapping) for one in value):
        inside = "".join(f"  {value_text(one)},\n" for one in value)
        return f"{key_text(key)} = [\n{inside}]"
    return f"{key_text(key)} = {value_text(value)}"
