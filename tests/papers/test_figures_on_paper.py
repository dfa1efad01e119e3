"""Figures on paper are those of the answers, turned into shown units by arithmetic alone."""

import pytest

GALLONS_IN_A_LITRE = 1.0 / 3.785411784


@pytest.mark.parametrize("name", ["barrels", "low-eaves", "part-year", "whole-house"])
def test_tanks_in_gallons(set_papers, name):
    plain = set_papers.example(name)
    made = set_papers.PAPERS["owners-manual"](plain, day=set_papers.TODAY, system="us")
    text = " ".join(set_papers.pages(made)).replace(",", "")
    told = [tank[key] for tank in plain["hydraulics"]["tanks"] for key in ("usable_l", "nominal_l")]
    for volume_l in told:
        gallons = volume_l * GALLONS_IN_A_LITRE
        shown = {f"{gallons:.0f} gal", f"{gallons:.1f} gal"}
        # large figures are rounded to three places
        shown.add(f"{float(f'{gallons:.3g}'):.0f} gal")
        assert any(one in text for one in shown), (volume_l, shown)
