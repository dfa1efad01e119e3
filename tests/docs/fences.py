"""The fenced blocks of a Markdown page, in order, and what each of them is."""

import re
import shlex
from dataclasses import dataclass
from pathlib import Path

FENCE = re.compile(
    r"(?:^<!-- as (?P<name>\S+) -->\n)?^```(?P<kind>\w*)\n(?P<text>.*?)^```$", re.M | re.S
)
INLINE = re.compile(r"`(eavewell [a-z][^`]*)`")
COMMAND = re.compile(r"(?:\.venv/bin/)?eavewell(?: |$)")
# a usage line shows what may be left out, or a word in capitals to be replaced
USAGE = re.compile(r"\[|\b[A-Z]{3,}\b")


@dataclass(frozen=True, slots=True)
class Block:
    """One block: its kind as written after the fence, the file that it stands for, its text."""

    kind: str
    name: str
    text: str

    @property
    def commands(self):
        """Its command lines as lists of words, without comments."""
        if self.kind not in ("", "sh", "console"):
            return []
        lines = [line.removeprefix("$ ") for line in self.text.splitlines()]
        return [shlex.split(line, comments=True) for line in lines if COMMAND.match(line)]


def blocks(page: Path) -> list[Block]:
    """Every block of a page."""
    found = FENCE.finditer(page.read_text(encoding="utf-8"))
    return [Block(one["kind"], one["name"] or "", one["text"]) for one in found]


def inline(page: Path) -> list[list[str]]:
    """Every command that stands within a sentence."""
    outside = FENCE.sub("", page.read_text(encoding="utf-8"))
    return [shlex.split(words.replace("...", "")) for words in INLINE.findall(outside)]


def is_usage(words: list[str]) -> bool:
    """Whether a line tells how a command is called, rather than calling it."""
    return any(USAGE.match(word) for word in words)
