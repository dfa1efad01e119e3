"""What somebody should look at: a figure that was taken as it came, and why it is doubted."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True)
class Question:
    """A figure that is doubted; nothing is refused and nothing put right without being asked.

    at_utc : of the reading, datetime64[ms]; None where it is about a whole file.
    says   : a sentence with the figure and what makes it doubtful.
    line   : in the file it came from, counted from 1; None where it came from none.
    """

    gauge: str
    says: str
    at_utc: np.datetime64 | None = None
    value: float | None = None
    line: int | None = None
