"""The command line called in this process: what it writes and its exit code, as of its own."""

import contextlib
import io
import os
import sys
from pathlib import Path
from subprocess import CompletedProcess
from unittest.mock import patch

from eavewell import cli


def commanded(*words: object, folder: Path | str = ".", **extra: str) -> CompletedProcess[str]:
    """One command line in a folder, with nothing to read; extra : of the environment."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8") for _ in range(2))
    env = {"COLUMNS": "88"} | extra
    argv = ["eavewell", *map(str, words)]
    with (
        patch.dict(os.environ, env),
        patch.object(sys, "argv", argv),
        patch.object(sys, "stdin", io.StringIO()),
        contextlib.chdir(folder),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        code = _ended()
    return CompletedProcess(argv, code, _text(out), _text(err))


def _ended() -> int:
    try:
        cli.main()
    except SystemExit as ended:
        return int(ended.code or 0)
    return 0


def _text(stream: io.TextIOWrapper) -> str:
    stream.flush()
    return stream.buffer.getvalue().decode("utf-8")
