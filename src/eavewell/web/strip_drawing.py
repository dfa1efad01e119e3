"""A strip of months as a small drawing: bars for the level, rust for what ran empty."""

from html import escape

from markupsafe import Markup

from eavewell.report.strip import Strip

WIDE, HIGH, FOOT = 720.0, 64.0, 24.0


def strip_drawing(strip: Strip) -> Markup:
    """The strip as an SVG as wide as its column, with the years below it."""
    step = WIDE / max(len(strip.values), 1)
    ink = "".join(
        f"M{at * step:.2f} {HIGH}v{-HIGH * min(value / strip.full, 1.0):.2f}h{step:.2f}V{HIGH}z"
        for at, value in enumerate(strip.values)
    )
    dry = "".join(
        f"M{at * step:.2f} {HIGH}h{max(step, 1.0):.2f}v3h{-max(step, 1.0):.2f}z"
        for at, value in enumerate(strip.values)
        if value <= strip.empty
    )
    parts = [
        f'<svg class="strip" viewBox="0 0 {WIDE:g} {HIGH + FOOT:g}" role="img" '
        f'aria-label="{escape(_says(strip))}">',
        f'<path class="water" d="{ink}"/>',
        f'<path class="base" d="M0 {HIGH}H{WIDE:g}"/>',
        f'<path class="dry" d="{dry}"/>' if dry else "",
        _spell(strip, step),
        *_years(strip, step),
        "</svg>",
    ]
    return Markup("".join(parts))


def _spell(strip: Strip, step: float) -> str:
    if strip.worst is None:
        return ""
    first, last = ((month - strip.first) // strip.step for month in strip.worst)
    wide = max((last - first + 1) * step, 2.0)
    return f'<rect class="worst" x="{first * step:.2f}" y="0" width="{wide:.2f}" height="{HIGH}"/>'


def _years(strip: Strip, step: float) -> list[str]:
    """A mark and the year at each tenth year."""
    found = []
    for at in range(len(strip.values)):
        year, month = divmod(strip.first + at * strip.step, 12)
        if month < strip.step and year % 10 == 0:
            x = f"{at * step:.2f}"
            found.append(f'<text x="{x}" y="{HIGH + 6:g}">{year}</text>')
            found.append(f'<path class="base" d="M{x} {HIGH}v4"/>')
    return found


def _says(strip: Strip) -> str:
    years = len(strip.values) * strip.step / 12
    dry = sum(value <= strip.empty for value in strip.values)
    first = strip.first // 12
    said = f"{strip.what} through {years:.0f} years from {first}"
    return f"{said}; {dry} of {len(strip.values)} marks ran empty." if dry else f"{said}."
