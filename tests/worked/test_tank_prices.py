"""Tank prices seen by others (FOUND): lid-stormwater.net raincist_cost, about 2000; costhelper.com,
cistern, about 2012; watertoolkit.org, about a dollar a gallon.

They are old and of other shops: a shipped price from memory must have them within its range of low
to high, no more.
"""

import pytest

from eavewell.cost.quotes import quote, shelved
from eavewell.files.price_book import price_book

GAL = 3.785411784


def tank(gallons):
    return quote(shelved(price_book(None, currency="USD")), "tank", size=gallons * GAL).each


@pytest.mark.parametrize(
    ("gallons", "dollars"),
    [
        (55, 120),  # a barrel, bought
        (175, (150 + 300) / 2),  # 150 to 200 gal
        (325, (300 + 660) / 2),  # 300 to 350 gal
        (550, 645),
        (2500, 2590),
    ],
)
def test_a_price_that_was_seen_lies_within_the_range(gallons, dollars):
    assert tank(gallons).low <= dollars <= tank(gallons).high


def test_about_a_dollar_a_gallon():
    for gallons in (1000, 2500, 5000):
        assert tank(gallons).low <= 1.0 * gallons <= tank(gallons).high
