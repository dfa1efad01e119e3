"""Every paper for every reader: tagged, with a language, an outline, words for its figures."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader

from eavewell.papers.typeset import pdf

PROGRAM = """
import hashlib, sys
from datetime import date
from pathlib import Path
from eavewell.answers import answer
from eavewell.design import design
from eavewell.files.record import beside_of, record_of
from eavewell.files.site.reader import read_site
from eavewell.papers.all_papers import drawn_papers, labels_for, papers
site = read_site(Path(sys.argv[1]))
day = date(2026, 1, 1)
made = design(site, record_of(site), beside=beside_of(site), today=day)
plain = answer(made)
found = {**drawn_papers(made, plain, day=day), **papers(site, labels_for(made), answer=plain)}
for name, text in sorted(found.items()):
    whole = text.encode() if isinstance(text, str) else text
    print(name, hashlib.sha256(whole).hexdigest())
"""


def alternatives(node):
    """The words of every figure in a tree of tags."""
    if isinstance(node, list):
        return [words for one in node for words in alternatives(one.get_object())]
    if not isinstance(node, dict):
        return []
    own = [node.get("/Alt", "")] if node.get("/S") == "/Figure" else []
    return own + (alternatives(node["/K"]) if "/K" in node else [])


@pytest.mark.parametrize("name", ["barrels", "whole-house"])
def test_papers_are_tagged_and_say_their_language(set_papers, name):
    plain = set_papers.example(name)
    for file, made in set_papers.PAPERS.items():
        reader = PdfReader(io.BytesIO(pdf(made(plain, day=set_papers.TODAY, system="us"))))
        root = reader.root_object
        assert root["/MarkInfo"]["/Marked"], file
        assert root["/Lang"].startswith("en"), file
        assert reader.outline, file
        assert reader.metadata.title, file
        kept = root["/Metadata"].get_data().decode()
        told = "".join(kept.split())
        assert "<pdfaid:part>2<" in told, file
        assert "<pdfaid:conformance>B<" in told, file
        assert "<pdfuaid:part>1<" in told, file
        assert all(alternatives(root["/StructTreeRoot"])), file


def test_seed_zone_and_folder_change_no_byte(tmp_path):
    site = Path(__file__).parents[2] / "examples" / "part-year" / "site.toml"

    def sums(seed, zone, folder):
        kept = os.environ | {"PYTHONHASHSEED": seed, "TZ": zone}
        asked = [sys.executable, "-c", PROGRAM, str(site)]
        done = subprocess.run(
            asked, capture_output=True, text=True, env=kept, cwd=folder, check=False
        )
        assert done.returncode == 0, done.stderr
        return done.stdout.splitlines()

    one = sums("1", "Pacific/Kiritimati", tmp_path)
    assert len(one) > 20
    assert one == sums("2", "America/Los_Angeles", Path(__file__).parent)
