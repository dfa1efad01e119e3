"""Money as people write it: an amount with its currency, alone or for a volume of water."""

import math
import re
from functools import cache

from eavewell.faults import BadQuantity
from eavewell.site.money import Amount
from eavewell.tables import rows
from eavewell.units import read

_NUMBER = r"(?P<number>\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d*\.\d+|\d+)"
DOLLARS = ("USD", "AUD", "CAD", "NZD", "MXN")


@cache
def signs() -> dict[str, str]:
    """Sign or ISO code -> ISO code; "$" alone stays "$", since many currencies write it."""
    found = {row["currency"]: row["currency"] for row in rows("currencies")}
    found |= {row["sign"]: row["currency"] for row in rows("currencies")}
    return found | {"$": "$"}


def read_money(raw: object) -> Amount:
    """Read "$1,250", "120 USD" or "EUR 40"; BadQuantity with a sentence for anything else."""
    text = " ".join(str(raw).split()) if isinstance(raw, str) else ""
    found = re.fullmatch(rf"(?P<before>[^\d\s,.-]*) ?{_NUMBER} ?(?P<after>[^\d\s,.-]*)", text)
    named = [word for word in (found["before"], found["after"]) if word] if found else []
    if found is None or len(named) != 1:
        raise BadQuantity(
            f"{_shown(raw)} is not money: write the amount with its currency, such as "
            "'$120' or '120 USD'."
        )
    if named[0] not in signs():
        known = ", ".join(row["currency"] for row in rows("currencies"))
        raise BadQuantity(f"{_shown(raw)}: the currency {named[0]!r} is not one of {known}.")
    return _finite(float(found["number"].replace(",", "")), signs()[named[0]], raw=raw)


def read_money_per_m3(raw: object) -> Amount:
    """Read "4.50 USD per 1,000 gal", "$2/m3" or "EUR 2.10 per m3" as money for a cubic metre."""
    parts = re.split(r" per |/", str(raw), maxsplit=1) if isinstance(raw, str) else [""]
    if len(parts) != 2:
        raise BadQuantity(
            f"{_shown(raw)} must be money for a volume, such as '4.50 USD per 1,000 gal'."
        )
    amount = read_money(parts[0].strip())
    volume = parts[1].strip()
    volume_l = read(volume if volume[:1].isdigit() else f"1 {volume}", "volume")
    if volume_l <= 0.0:
        raise BadQuantity(f"{_shown(raw)}: money for no water is no price.")
    return _finite(amount.value * 1000.0 / volume_l, amount.currency, raw=raw)


def _finite(value: float, currency: str, *, raw: object) -> Amount:
    if not math.isfinite(value):
        raise BadQuantity(f"{_shown(raw)} is more money than there is.")
    return Amount(value, currency)


def agrees(amount: Amount, currency: str) -> bool:
    """Whether an amount is in a currency; a bare dollar sign is any dollar."""
    return amount.currency == currency or (amount.currency == "$" and currency in DOLLARS)


def _shown(raw: object) -> str:
    return repr(raw) if len(repr(raw)) < 60 else repr(raw)[:57] + "..."
