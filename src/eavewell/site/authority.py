"""An authority's rules for rainwater, as a person wrote them down; never decided by the tool."""

from dataclasses import dataclass
from typing import Literal

When = Literal["before purchase", "before building", "before covering", "before use", "each year"]


@dataclass(frozen=True, slots=True)
class Sourced:
    """Where a rule stands: document and paragraph, in words."""

    source: str
    place: str = ""

    @property
    def in_words(self) -> str:
        """Both; the document alone where no paragraph is named."""
        return ", ".join(part for part in (self.source, self.place) if part)


@dataclass(frozen=True, slots=True)
class Trigger:
    """A size or use above which something is asked for.

    measure : "tank volume" (L, of one tank), "total volume" (L), "height over width", "end use",
              "mains make-up" or "rebate".
    above   : more than this triggers, in that unit; None where nothing is measured.
    end_use : the class or case of use that triggers. asks : what is then asked for, in words.
    """

    name: str
    measure: str
    asks: str
    written: Sourced
    above: float | None = None
    end_use: str = ""


@dataclass(frozen=True, slots=True)
class Setback:
    """Least distance between two things, e.g. from "tank" to "property line"."""

    of: str
    to: str
    least_m: float
    written: Sourced


@dataclass(frozen=True, slots=True)
class PaperAsked:
    """A paper the authority wants; end_uses and triggers empty: always.

    triggers : names of triggers, one of which must have fired.
    """

    name: str
    when: When
    written: Sourced
    who: str = ""
    end_uses: tuple[str, ...] = ()
    triggers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Target:
    """Logs of one organism to be removed for one end use."""

    organism: str
    end_use: str
    logs: float
    written: Sourced


@dataclass(frozen=True, slots=True)
class Inspection:
    """How often something is looked at or tested."""

    what: str
    every_days: float
    written: Sourced
    end_uses: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SignWording:
    """The authority's own words and colours for one end use; "" leaves ours.

    ground, letters : colours as #rrggbb. letters_mm : least height of a sign's letters.
    """

    end_use: str
    text: str
    written: Sourced
    ground: str = ""
    letters: str = ""
    letters_mm: float | None = None


@dataclass(frozen=True, slots=True)
class WaterLimit:
    """A limit of a water test for one end use; of: a row name in tables/water_tests.csv."""

    of: str
    end_use: str
    most: float
    every_days: float | None
    written: Sourced


@dataclass(frozen=True, slots=True)
class Authority:
    """One authority's file.

    is_model : True for the model file that ships with the tool: check your own.
    drainage_years, drainage_minutes : storm that the authority's drainage is sized for.
    """

    name: str
    edition: str
    is_model: bool = False
    triggers: tuple[Trigger, ...] = ()
    setbacks: tuple[Setback, ...] = ()
    papers: tuple[PaperAsked, ...] = ()
    targets: tuple[Target, ...] = ()
    inspections: tuple[Inspection, ...] = ()
    signs: tuple[SignWording, ...] = ()
    limits: tuple[WaterLimit, ...] = ()
    drainage_years: float | None = None
    drainage_minutes: float | None = None
    drainage_written: Sourced | None = None
