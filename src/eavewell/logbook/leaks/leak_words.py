"""Sentences of the leak tests: how a leak is found by hand, and what a log cannot tell."""

from collections.abc import Sequence

from eavewell.answers.shown import listed

CANNOT_TELL = (
    "Without a meter a leak and a use are not to be told apart; a night or a day with all taps "
    "shut tells, as no use need be assumed."
)
SELDOM = (
    "A meter read so seldom tells no day's use: read it as often as the level, and a leak can be "
    "told from a use."
)
DRIFT_LIKE = "A level gauge that drifts looks the same: read the tank with a stick as well."
NO_VALVE = (
    "It states no valves between its tanks: without them the leak cannot be put to one of them, "
    "and all the water may go."
)
JUDGED = "'eavewell log shut' says what the readings of such a test show."
ISOLATE_ONE = (
    "To find where: close the valve at the tank's outlet and read it again the next day. If it "
    "still falls the tank leaks; if not, the leak lies behind the outlet."
)


def drawn_by_file(used: str, uses: Sequence[str], *, metered: bool) -> str:
    """What was taken as drawn, in words, where no meter counts some uses, or none does.

    used : in words. uses : those without a meter. metered : whether others have one.
    """
    draw, them = ("draws", "it") if len(uses) == 1 else ("draw", "them")
    if metered:
        return (
            f"the {used} drawn, of which no meter counts {listed(map(repr, uses))}: what the site "
            "file has for this time of year was assumed"
        )
    return (
        f"the {used} that {listed(map(repr, uses))} {draw} at this time of year by the site file, "
        f"assumed as no meter counts {them}"
    )


def isolate(fall: str) -> str:
    """How each of several tanks is tried in turn; fall is the least that shows, in words."""
    return (
        "To find which: close the valves between the tanks and their outlets, read each tank, and "
        f"read each again the next day; the one that fell by more than {fall} leaks. If none "
        "fell, the leak lies behind the outlets: open them one by one."
    )


def overnight(noise: str, fall: str, *, leak: str, hours: float, times: int, next_day: str) -> str:
    """The test with all valves shut.

    noise, fall, leak : of one reading, and what shows from, in words. next_day : the leak that
    shows over twice the hours.
    """
    return (
        "Overnight test: fill nothing, close the valve at each tank's outlet, the lift and the "
        f"make-up, and let the water settle for an hour. Read the level {times} times and take "
        f"the mean; read it so again after {hours:g} hours with all still shut and no rain. With "
        f"a reading good to {noise} a fall shows from {fall} on, which is a leak of {leak} at "
        f"least; over {2.0 * hours:g} hours, {next_day}."
    )


def no_leak(days: str, limit: str, *, twice: str) -> str:
    """Nothing seen, and what would have been."""
    return (
        f"No leak seen. A leak of {limit} would have shown over these {days}, {twice} were the "
        "readings twice as noisy."
    )


def too_few(days: int, *, oldest: float, least: float) -> str:
    """Not tested, and what the test needs."""
    return (
        f"Too few dry days that were read: {days} in the last {oldest:g} days; the leak test "
        f"needs {least:g} in a row or in pieces of two and more. Read the level once a day while "
        "it is dry, and the rain gauge with it, though it is empty."
    )
