"""Until when the water lasts, what a rain brings and what is held, in sentences."""

import math
from dataclasses import dataclass
from typing import Any

from eavewell.answers.shown import Sizes, count, day, listed

Plain = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Lasts:
    """Until when the water lasts, and at which use."""

    until: str
    how: str

    @property
    def words(self) -> str:
        """Both as a sentence."""
        return f"{self.until} {self.how}"


def lasts(one: Plain, answer: Plain, *, sizes: Sizes) -> tuple[Lasts, ...]:
    """Of a supply: at this week's use where it is known, then at the plan's."""
    days, planned = count(answer["plan_days"], "day"), sizes.daily(one["plan_l_per_day"])
    plan = _until(one, one["plan"], use=f"at the plan's use of the next {days}, {planned},")
    if answer["week_l_per_day"] is None:
        return (plan,)
    used = f"at this week's use of {sizes.daily(one['use_l_per_day'])}"
    return _until(one, one["week"], use=used), plan


def _until(one: Plain, without_rain: Plain, *, use: str) -> Lasts:
    if without_rain["days"] is None:
        return Lasts("Nothing draws it down", f"{use.rstrip(',')}.")
    how = f"{use} with no rain: {days_words(without_rain['days'])}"
    if one["has_rations"] and without_rain["rationed_days"] is not None:
        how += f"; rations kept to, until {day(without_rain['rationed_until'])}"
    return Lasts(f"Lasts until {day(without_rain['until'])}", f"{how}.")


def stated_words(answer: Plain, sizes: Sizes) -> str:
    """What was said to come; it is in every figure of the page."""
    today = answer["day"]
    rains = [one for one in answer["rains"] if one["day"] >= today]
    loads = [one for one in answer["loads"] if one["day"] >= today]
    come = [f"{sizes.depth(one['rain_mm'])} of rain on {day(one['day'])}" for one in rains]
    come += [f"{sizes.volume(one['volume_l'])} on {day(one['day'])}" for one in loads]
    counted = f"Counted on: {listed(come)}." if come else ""
    return " ".join((counted, *(_spills(one, sizes) for one in loads))).strip()


def _spills(load: Plain, sizes: Sizes) -> str:
    """What of a load has no room when it comes; nothing where all of it has."""
    room_l, volume_l = load["room_l"], load["volume_l"]
    if room_l is None or room_l >= volume_l:
        return ""
    room = f"only {sizes.volume(room_l)} has" if room_l >= 1.0 else "none has"
    return (
        f"Of the {sizes.volume(volume_l)} on {day(load['day'])} {room} room in {load['to']} in the "
        "middle of years: put it off, or order less."
    )


def rain_words(one: Plain, sizes: Sizes) -> str:
    """What a stated rain brings; nothing where no roof drains to the supply."""
    name, depth = ("inch", "One inch") if sizes.system == "us" else ("ten_mm", "10 mm")
    brought, days = one[f"{name}_of_rain_l"], one[f"{name}_of_rain_days"]
    if brought is None:
        return ""
    lasts = f" = {days_words(days)}" if days else ""
    return f"{depth} of rain = {sizes.volume(brought)}{lasts}."


def held_words(one: Plain, answer: Plain, *, sizes: Sizes) -> str:
    """What a supply holds, and how well that is known."""
    low, high = sizes.volume(one["held_low_l"]), sizes.volume(one["held_high_l"])
    now = "holds by now" if answer["days_since_reading"] else "holds"
    said = f"Above the dead storage it {now} {sizes.volume(one['held_l'])}"
    said += f", likely {low} to {high}." if low != high else "."
    return f"{said} {_unread(answer)}{_old(answer)}"


def _unread(answer: Plain) -> str:
    """Which tanks nobody ever read."""
    names = [one["name"] for one in answer["tanks"] if not one["was_read"]]
    if not names:
        return ""
    counts = "counts" if len(names) == 1 else "count"
    return f"{listed(names)}, never read, {counts} as anything from empty to full. "


def _old(answer: Plain) -> str:
    since, unknown = answer["days_since_reading"], answer["days_of_unknown_rain"]
    if not since:
        return ""
    of = "these days" if unknown == since else f"{unknown} of them"
    rain = (
        f"the rain of {of} is not known, so every year gives its own"
        if unknown
        else "the rain of these days is known"
    )
    old = " That is old: read the level again." if answer["reading_is_old"] else ""
    several = sum(one["was_read"] for one in answer["tanks"]) > 1
    which = "The tank read longest ago was read on" if several else "The last reading is of"
    return (
        f"{which} {day(answer['read_on'])}, {count(since, 'day')} ago; the run goes on from that "
        f"day, and {rain}.{old}"
    )


def days_words(days: float) -> str:
    """Whole days that surely pass; hours where it is less than two days."""
    if days < 2.0:
        return count(math.floor(days * 24.0 + 1e-6), "hour")
    return count(math.floor(days + 1e-6), "day")
