"""What every page has at hand: the folder of sites, the desk, the templates."""

from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi import HTTPException
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from eavewell.answers.shown import day, days_in_words, spell
from eavewell.web.addresses import changes_told
from eavewell.web.blocks import in_html
from eavewell.web.desk import Desk
from eavewell.web.forms import fault_link
from eavewell.web.last_sent import LastSent
from eavewell.web.site_folders import SiteFolder, SiteFolders


@dataclass(frozen=True, slots=True, eq=False)
class Pages:
    """One server's folder, desk and templates, and what it sent of each version.

    mark : what a change must carry.
    """

    folders: SiteFolders
    desk: Desk
    templates: Environment
    mark: str
    sent: LastSent

    @classmethod
    def of(cls, folder: Path, mark: str) -> "Pages":
        """The pages of one folder."""
        templates = Environment(
            loader=FileSystemLoader(str(files("eavewell.web").joinpath("templates"))),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        templates.filters["in_html"] = in_html
        templates.filters["day"] = day
        templates.filters["days_in_words"] = days_in_words
        templates.filters["spell"] = spell
        templates.filters["told"] = changes_told
        templates.filters["fault_link"] = fault_link
        return cls(SiteFolders(folder), Desk(), templates, mark, LastSent())

    def html(self, template: str, **shown: Any) -> str:
        """A page or a piece of one."""
        return self.templates.get_template(template).render(mark=self.mark, **shown)

    def site(self, name: str) -> SiteFolder:
        """The site of that name; 404 where there is none."""
        try:
            return self.folders[name]
        except KeyError:
            raise HTTPException(404, f"There is no site called {name[:80]!r} here.") from None
