"""[log] and [[log.gauge]] of the site file: read in full, every fault told in a sentence."""

import pytest

from eavewell.faults import BadSite
from eavewell.files.site.edit_names import renamed
from eavewell.files.site.new_site import starter_text
from eavewell.files.site.reader import site_of_text
from eavewell.site.gauge import Feed, KnownLevel, Log, Tell

WHOLE = starter_text("whole-house")
FULL = """
[log]
kept_in = "postgresql://eavewell@office/logs#miller"
zone = "America/Chicago"
readings_at = "7:30"
broker = "barn:1883"
[[log.gauge]]
name = "eye"
measures = "level"
of = "main"
how = "ultrasonic"
zero = "9 ft"
blind = "10 in"
reckons_at = "68 F"
air = "loft"
unit = "mm"
noise = "1/4 in"
least = 250
most = "3 m"
feed = { topic = "barn/tank", at = "tank.distance", scale = 10, offset = -3, time = "at" }
[[log.gauge]]
name = "loft"
measures = "temperature"
unit = "F"
noise = "0.9 F"
[[log.gauge]]
name = "main meter"
measures = "meter"
how = "pulse counter"
per_pulse = "1 gal"
wraps_at = 65535
most = 20
[log.tell]
mail_to = ["kay@example.org"]
mail_from = "barn@example.org"
mail_server = "mail.example.org:587"
topic = "barn/alerts"
"""


def log_of(text):
    return site_of_text(WHOLE + text).log


def faults(text):
    with pytest.raises(BadSite) as refused:
        log_of(text)
    return "\n".join(fault.says for fault in refused.value.faults)


def test_nothing_said_is_a_file_beside_the_site_and_no_gauges():
    assert site_of_text(WHOLE).log == Log()


def test_a_log_in_full():
    log = log_of(FULL)
    eye, loft, meter = log.gauges
    assert (log.zone, log.readings_at, log.broker) == ("America/Chicago", 7.5, "barn:1883")
    assert eye.zero_m == pytest.approx(9 * 0.3048)
    assert eye.blind_m == pytest.approx(0.254)
    assert eye.reckons_at_c == pytest.approx(20.0)
    assert (eye.least, eye.most) == pytest.approx((0.25, 3.0))
    assert eye.noise == pytest.approx(0.00635)
    assert eye.feed == Feed("barn/tank", "tank.distance", 10.0, -3.0, "at")
    assert loft.noise == pytest.approx(0.5)  # a difference: 0.9 F is 0.5 C, not -17
    assert (meter.per_pulse_l, meter.wraps_at) == (pytest.approx(3.785411784), 65535)
    assert meter.most == pytest.approx(20 * 3.785411784)
    assert log.tell == Tell(
        ("kay@example.org",), "barn@example.org", "mail.example.org:587", "barn/alerts"
    )
    assert log.gauge("loft") is loft


def test_known_levels_may_have_any_unit_and_leave_the_zero_unknown():
    (gauge,) = log_of("""
[[log.gauge]]
name = "probe"
measures = "level"
of = "main"
unit = "mA"
known_levels = [[4.2, "0 ft"], [11.0, "4 ft"]]
noise = 0.02
""").gauges
    assert gauge.known_levels == (KnownLevel(4.2, 0.0), KnownLevel(11.0, pytest.approx(1.2192)))
    assert gauge.zero_m is None
    assert gauge.noise == 0.02


def test_known_levels_in_a_length_are_kept_as_the_readings_are():
    (gauge,) = log_of("""
[[log.gauge]]
name = "eye"
measures = "level"
of = "main"
unit = "in"
known_levels = [[100, "1 ft"], [40, "6 ft"]]
""").gauges
    assert [one.said for one in gauge.known_levels] == pytest.approx([2.54, 1.016])


def test_a_level_is_of_the_only_tank_and_of_a_named_one_where_there_are_more():
    text = starter_text("barrels")
    site = site_of_text(text + '\n[[log.gauge]]\nname = "rod"\nmeasures = "level"\n')
    tanks = [tank.name for tank in site.tanks if not tank.is_sump]
    assert len(tanks) == 1
    assert site.log.gauges[0].of == tanks[0]
    assert "say which tank" in faults('\n[[log.gauge]]\nname = "rod"\nmeasures = "level"\n')


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('[log]\nzone = "chicago"', "did you mean America/Chicago?"),
        ('[log]\nzone = "Mars/Base"', "no time zone 'Mars/Base'"),
        ('[log]\nreadings_at = "25:00"', "not a time of day"),
        ('[log]\nbroker = "barn"', "a host and a port"),
        ('[log]\nbroker = "barn:99999"', "a host and a port"),
        ('[log]\nkept_in = "logs.db"', "address of a database"),
        ('[log]\nkept_in = "postgresql://a:b@office/logs"', "take the password out"),
        ('[log]\nkept_in = "postgresql://[::1/logs"', "address of a database"),
        ('[log]\nbroker = "b:1"\ntell = { mail_to = ["kay"] }', "mail_from is not"),
        ('[log]\nbroker = "b:1"\ntell = { mail_to = ["kay"] }', "'kay' is no address"),
        ('[log]\ntell = { topic = "t" }', "names no broker"),
    ],
)
def test_a_fault_of_the_log_is_a_sentence(text, says):
    assert says in faults("\n" + text)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ('measures = "level"\nof = "mian"', "no tank 'mian': did you mean 'main'?"),
        ('measures = "level"\nunit = "gal"', "'1 gal' is a volume"),
        ('measures = "level"\nknown_levels = [[1, "1 ft"], [1, "2 ft"]]', "figure of its own"),
        (
            'measures = "level"\nknown_levels = [[1, "1 ft"], [2, "2 ft"], [3, "0 ft"]]',
            "all rise with the figure, or all fall",
        ),
        ('measures = "meter"\nknown_levels = [[1, "1 ft"], [2, "2 ft"]]', "only a gauge of a l"),
        ('measures = "meter"\nunit = "gal"\nper_pulse = "1 gal"', "oth unit and per_pulse"),
        ('measures = "rain"\nper_pulse = "1 gal"', "only a gauge that measures water drawn"),
        ('measures = "meter"\nuses = ["hosue"]', "there is no use 'hosue'"),
        ('measures = "rain"\nof = "main"', "of the whole site"),
        ('measures = "lamp hours"\nof = "lmap"', "no lamp 'lmap'"),
        ('measures = "level"\nair = "loft"', "no gauge of a temperature called 'loft'"),
        ('measures = "level"\nfeed = { topic = "t" }', "names no broker"),
        ('measures = "level"\nfeed = { topic = "t" }', "say their unit"),
        ('measures = "level"\nfeed = { topic = "t", time = "at" }', "carries no time"),
        ('measures = "level"\nfeed = { topic = "t/#" }', "without + or #"),
        ('measures = "level"\nfeed = { topic = "t", scale = 0 }', "times nothing"),
        ('measures = "level"\nnoise = 3', "has no unit"),
        ('measures = "level"\nnoise = "3 gal"', "is a volume"),
        ('measures = "depth of feeling"', "is not known"),
    ],
)
def test_a_fault_of_a_gauge_is_a_sentence(fields, says):
    assert says in faults(f'\n[[log.gauge]]\nname = "g"\n{fields}\n')


def test_two_gauges_of_one_name_are_refused():
    one = '\n[[log.gauge]]\nname = "g"\nmeasures = "rain"\n'
    assert "used twice" in faults(one + one)


def test_a_tank_called_otherwise_is_followed_by_its_gauge_and_a_lamp_too():
    text = WHOLE + '\n[[log.gauge]]\nname = "g"\nmeasures = "level"\nof = "main"\n'
    assert site_of_text(renamed(text, ("tank", 0), name="big")).log.gauges[0].of == "big"
    lamp = next(
        (row, at, one)
        for row, line in enumerate(site_of_text(WHOLE).lines)
        for at, one in enumerate(line.in_line)
    )
    text = WHOLE + f'\n[[log.gauge]]\nname = "g"\nmeasures = "lamp hours"\nof = "{lamp[2].name}"\n'
    now = renamed(text, ("line", lamp[0], "in_line", lamp[1]), name="blue lamp")
    assert site_of_text(now).log.gauges[0].of == "blue lamp"
