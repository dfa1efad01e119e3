"""Where a tank or a sump stands in the site file."""

from eavewell.site.tank import Tank


def tank_way(tank: Tank) -> tuple[str, str]:
    """The way down to a tank, or to a sump."""
    return ("sump" if tank.is_sump else "tank", tank.name)
