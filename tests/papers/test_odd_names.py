"""Names of markup, formulas, codes and pictures: words on every paper, or a sentence and nothing.

The names are written into the site file of an example, as a person may do it.
"""

import csv
import io
import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader

from eavewell.answers import answer
from eavewell.design import design
from eavewell.faults import EavewellFault
from eavewell.files.record import beside_of, record_of
from eavewell.files.site.reader import read_site
from eavewell.papers.all_papers import drawn_papers, labels_for, papers

TYPESET = '#panic("x") *b* _i_ $x^2$ `c` @r [a] = h'
FORMULA = '=HYPERLINK("http://x","y")'
MARKED = "<b>&amp;</b><script>1</script>"
CODED = "%%d ^J {\\fx;a} \\P %%123 ^"
NAMED = {
    "Quailwater potting shed": TYPESET,
    "shed": MARKED,
    "front eave": FORMULA,
    "lid screen": TYPESET,
    "barrels": CODED,
    "tap": FORMULA,
    "herb row": MARKED,
    "bowl line": TYPESET,
}
SITE, ODD = f"{TYPESET} Quailwater potting shed", [f"{odd} {one}" for one, odd in NAMED.items()]
ELEMENTS = {"svg", "g", "path", "text", "tspan", "title", "desc", "defs", "pattern", "clipPath"}
ELEMENTS |= {"rect", "line", "circle", "polyline", "polygon", "ellipse", "style", "marker", "use"}


def all_papers(folder, names, day):
    """Every paper as bytes by its file name; names : what each name is preceded by."""
    text = (Path(__file__).parents[2] / "examples/barrels/site.toml").read_text(encoding="utf-8")
    for one, odd in names.items():
        text = text.replace(f'"{one}"', json.dumps(f"{odd} {one}", ensure_ascii=False))
    (folder / "site.toml").write_text(text, encoding="utf-8")
    site = read_site(folder / "site.toml")
    made = design(site, record_of(site), beside=beside_of(site), today=day)
    plain = answer(made)
    found = {**drawn_papers(made, plain, day=day), **papers(site, labels_for(made), answer=plain)}
    return {file: text.encode() if isinstance(text, str) else text for file, text in found.items()}


@pytest.fixture(scope="module")
def found(set_papers, tmp_path_factory):
    return all_papers(tmp_path_factory.mktemp("odd"), NAMED, set_papers.TODAY)


def of_kind(found, ending):
    chosen = {file: text for file, text in found.items() if file.endswith(ending)}
    assert chosen
    return chosen


def squeezed(text):
    """Without spaces and hyphens, as a line may be broken anywhere."""
    return re.sub(r"[\s\u00ad\u2010-]", "", text)


def test_every_page_bears_the_name_as_it_was_written(found):
    whole = ""
    for file, text in of_kind(found, ".pdf").items():
        for page in PdfReader(io.BytesIO(text)).pages:
            told = squeezed(page.extract_text())
            assert squeezed(SITE) in told, file
            whole += told
    assert not [name for name in ODD if squeezed(name) not in whole]


def test_no_name_is_a_formula_of_the_workbook(found):
    book = load_workbook(io.BytesIO(found["parts.xlsx"]))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    ours = re.compile(r"=(SUM\(|SUMIF\(|IF\(ISNUMBER|IF\(N\(|IF\(\$G|C\d+-)")
    formulas = [cell.value for cell in cells if cell.data_type == "f"]
    assert formulas
    assert not [says for says in formulas if not ours.match(says) or "HYPERLINK" in says]
    assert not [cell for cell in cells if cell.hyperlink]
    words = "|".join(cell.value for cell in cells if cell.data_type == "s")
    # what a part is for names its thing as Python writes it: a backslash stands twice
    assert all(name in words or repr(name)[1:-1] in words for name in ODD)


def test_no_name_is_a_formula_of_a_list(found):
    for text in of_kind(found, ".csv").values():
        for row in csv.reader(io.StringIO(text.decode())):
            assert not [cell for cell in row if cell.startswith(("=", "+", "@"))]


def test_no_name_is_markup_of_a_picture(found):
    seen = ""
    for file, text in of_kind(found, ".svg").items():
        parts = list(ET.fromstring(text).iter())
        elements = {one.tag.rpartition("}")[2] for one in parts}
        assert elements <= ELEMENTS, (file, elements - ELEMENTS)
        seen += "".join(one.text or "" for one in parts)
        seen += "".join(value for one in parts for value in one.attrib.values())
    assert squeezed(SITE) in squeezed(seen)
    assert squeezed(f"{CODED} barrels") in squeezed(seen)


def test_no_name_is_a_code_of_a_drawing(found):
    import ezdxf

    whole = ""
    for file, text in of_kind(found, ".dxf").items():
        drawing = ezdxf.read(io.StringIO(text.decode()))
        audit = drawing.audit()
        assert (audit.errors, audit.fixes) == ([], []), file
        for space in drawing.layouts:
            whole += "".join(one.plain_text() for one in space.query("TEXT MTEXT"))
    told = squeezed(whole)
    assert squeezed(f"{CODED} barrels") in told
    assert squeezed(SITE) in told


@pytest.mark.parametrize("odd", ["rain \U0001f327", "\u2614 barrel", "\u05d1\u05d9\u05ea"])
@pytest.mark.parametrize("one", ["Quailwater potting shed", "barrels"])
def test_a_letter_that_the_fonts_lack_is_refused_by_its_name(set_papers, tmp_path, odd, one):
    with pytest.raises(EavewellFault, match="letters") as refused:
        all_papers(tmp_path, {one: odd}, set_papers.TODAY)
    assert f"{odd} {one}" in str(refused.value)
