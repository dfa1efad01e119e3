"""Which rain a site is designed on."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class DroughtRow:
    """One month of a drought the user names: rain depth of that month."""

    month: int
    rain_mm: float


@dataclass(frozen=True, slots=True)
class Rain:
    """Where the rain record comes from and how it is carried to the site.

    record   : path of a record file, as written in the site file; "" where none.
    station  : station number to bring in; "" where none.
    climate  : name of an invented climate; "" where none.
    neighbour: path of a second record that fills gaps or extends the first; "" where none.
    at_site  : True where the record was made at the site: no factor is ever applied.
    site_factor : twelve factors, January first; None where unknown.
    factor_from : the two long-term normals the factor comes from, in the user's words.
    distance_km, height_m : station to site, height positive where the site is higher;
                  None where unknown.
    drought  : months of a worse drought the user names, run through the design.
    unit     : depth unit of the rain column where the file does not tell; "" where none.
    """

    record: str = ""
    station: str = ""
    climate: str = ""
    neighbour: str = ""
    at_site: bool = False
    site_factor: tuple[float, ...] | None = None
    factor_from: str = ""
    distance_km: float | None = None
    height_m: float | None = None
    drought: tuple[DroughtRow, ...] = ()
    unit: str = ""
