"""The section from sky to tap as it stands on the page: its things are links to their fields."""

from markupsafe import Markup

from eavewell.drawings.compose import compose
from eavewell.drawings.section import section
from eavewell.drawings.svg import svg
from eavewell.web.desk import OnDesk

SIZE = "tabloid"


def section_on_page(shown: OnDesk) -> Markup:
    """The drawing as SVG within the page; nothing where the site has none yet."""
    if shown.design is None:
        return Markup()
    drawn = section(shown.design.site, shown.design.pipes.flushes, size=SIZE, block={})
    return Markup(svg(compose(drawn)))
