"""Letters leave no file open behind them."""

import subprocess
import sys

DRAWN = "from eavewell.drawings.letters import outline; outline('Cistern', 5.0, at=(0.0, 0.0))"


def test_no_font_is_left_open_at_the_end():
    words = [sys.executable, "-W", "always::ResourceWarning", "-c", DRAWN]
    ended = subprocess.run(words, capture_output=True, text=True, check=True)
    assert ended.stderr == ""
