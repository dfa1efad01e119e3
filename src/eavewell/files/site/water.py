"""What is known of the stored water, from its part of the site file."""

from types import MappingProxyType

from eavewell.faults import BadQuantity
from eavewell.files.site.parts import Part
from eavewell.site.water import Water, WaterTest
from eavewell.tables import rows
from eavewell.units import read

# 'present' says one germ at least and no number.
_GERMS_IN_WORDS = MappingProxyType({"absent": 0.0, "not detected": 0.0, "present": 1.0})


def water_of(part: Part | None) -> Water:
    """The water; nothing known where the file has none."""
    if part is None:
        return Water()
    coldest, warmest = part["coldest"], part["warmest"]
    if coldest is not None and warmest is not None and coldest > warmest:
        part.fault("coldest is above warmest.", "coldest")
    tests = tuple(test for one in part["tests"] if (test := _of_test(one)) is not None)
    return Water(
        ph=_known(part["ph"], tests, of="pH"),
        coldest_c=coldest,
        warmest_c=warmest,
        transmittance=_known(part["transmittance"], tests, of="transmittance"),
        turbidity_ntu=_known(part["turbidity"], tests, of="turbidity"),
        iron_mg_l=_known(part["iron"], tests, of="iron"),
        hardness_mg_l=_known(part["hardness"], tests, of="hardness"),
        tests=tests,
    )


def _known(stated: float | None, tests: tuple[WaterTest, ...], *, of: str) -> float | None:
    """What the file states, else the latest test; 'less than' leaves it unknown."""
    mine = [test for test in tests if test.of == of and not test.below]
    latest = max(mine, key=lambda test: test.day, default=None)
    return latest.value if stated is None and latest is not None else stated


def _of_test(part: Part) -> WaterTest | None:
    of, found, day = part["of"], part["found"], part["on"]
    if of is None or found is None or day is None:
        return None
    try:
        value, below = result_of(found, of)
    except BadQuantity as refused:
        part.fault(f"found: {refused.faults[0].says}", "found")
        return None
    return WaterTest(
        of, value, day, below=below, tap=part["tap"] or "", laboratory=part["by"] or ""
    )


def result_of(raw: str | float, of: str) -> tuple[float, bool]:
    """A result of one water test and whether the laboratory wrote 'less than'.

    Raises BadQuantity with one sentence.
    """
    quantity = _quantity(of)
    text = str(raw).strip().lower()
    below = text.startswith("<")
    text = text.removeprefix("<").strip()
    if quantity == "germs" and text in _GERMS_IN_WORDS:
        return _GERMS_IN_WORDS[text], False
    if quantity != "ph":
        return read(text if isinstance(raw, str) else raw, quantity), below
    try:
        ph = float(text)
    except ValueError:
        ph = -1.0
    if not 0.0 <= ph <= 14.0:
        raise BadQuantity(f"'{raw}' is no pH: a bare number from 0 to 14.")
    return ph, below


def _quantity(of: str) -> str:
    return next(row["quantity"] for row in rows("water_tests") if row["of"] == of)
