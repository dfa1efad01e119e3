"""Every paper of a design as text by its file name; nothing is written here."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from eavewell.design import Design
from eavewell.drawings.dxf import dxf
from eavewell.drawings.label_sheets import flows, label_sheets
from eavewell.drawings.labels import label_svg
from eavewell.drawings.svg import svg
from eavewell.papers.calendar_file import calendar_file
from eavewell.papers.charts.all_charts import charts
from eavewell.papers.parts_book import parts_book
from eavewell.papers.set_of_papers import set_of_papers
from eavewell.papers.sheets import sheets
from eavewell.papers.tables_out import labels_csv, order_csv, parts_csv
from eavewell.papers.typeset import pdfs
from eavewell.site.authority import Authority
from eavewell.site.label import Label
from eavewell.site.site import Site
from eavewell.treatment.labels import labels_of
from eavewell.treatment.nothing_open import nothing_open


def papers(site: Site, labels: tuple[Label, ...], *, answer: Mapping[str, Any]) -> dict[str, str]:
    """Labels at true size, sheets to print them on, the parts and the order.

    answer : the design as plain data. Raises EavewellFault for letters that the fonts lack.
    """
    sheets = label_sheets(labels, system=site.place.show, site=site.name)
    listed = {label_file(number, label): label for number, label in enumerate(labels, 1)}
    found = {
        "parts.csv": parts_csv(answer),
        "order.csv": order_csv(answer),
        "labels.csv": labels_csv(listed),
    }
    for number, sheet in enumerate(sheets, 1):
        found[f"label-sheets/sheet-{number:02d}.svg"] = sheet
    for file, label in listed.items():
        for flow in flows(label):
            named = file if flow == "right" else file.replace(".svg", "-flow-left.svg")
            found[named] = label_svg(label, flow)
    return found


def drawn_papers(
    made: Design,
    answer: dict[str, Any],
    *,
    day: date,
    weighed: Mapping[str, Any] | None = None,
    raw: Mapping[str, Any] | None = None,
) -> dict[str, str | bytes]:
    """The sheets as SVG and DXF, every paper as PDF, charts, parts book and calendar file.

    day : of the run, which the papers bear. weighed : the choices weighed, as plain data.
    raw : what stands in the site file; None leaves its field sheet out.
    """
    drawn, system = sheets(made, answer, day=day), made.site.place.show
    found: dict[str, str | bytes] = {}
    for name, sheet in drawn.items():
        found[f"sheets/{name}.svg"] = svg(sheet)
        found[f"sheets/{name}.dxf"] = dxf(sheet)
    found |= (plates := charts(answer, system=system, weighed=weighed))
    found |= pdfs(set_of_papers(made.site, answer, drawn=drawn, charts=plates, day=day, raw=raw))
    found["parts.xlsx"] = parts_book(answer, system=system, day=day)
    found["maintenance.ics"] = calendar_file(answer, day=day)
    return found


def labels_for(made: Design, authority: Authority | None = None) -> tuple[Label, ...]:
    """The labels of a designed site; 'treated for drinking' only where nothing is open.

    authority : whose wording and colours replace ours.
    """
    judged = nothing_open(made.fitness, made.tested, treated=made.treated)
    return labels_of(made.site, judged, authority=authority)


def label_file(number: int, label: Label) -> str:
    """Name of one label's file: its number, what wears it, its class."""
    words = label.what if label.end_use == "any" else f"{label.what} {label.end_use}"
    return f"labels/{number:02d}-{words.replace(' ', '-')}.svg"
