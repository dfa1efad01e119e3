"""The fault finder: a symptom, its causes by likelihood, and answers that narrow them."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from eavewell.faults import EavewellFault
from eavewell.papers.fault_causes import Cause
from eavewell.tables import rows, table

# whether a check showed what is to be expected
Answer = Literal["yes", "no", "cannot tell"]
ANSWERS: tuple[Answer, ...] = ("yes", "no", "cannot tell")
State = Literal["open", "cannot tell", "ruled out", "found"]


@dataclass(frozen=True, slots=True)
class Sign:
    """Something in the log that makes a cause more likely or less.

    kind : as tables/fault_signs.csv calls it. says : what was seen, in a sentence.
    """

    kind: str
    says: str


@dataclass(frozen=True, slots=True)
class Weighed:
    """One cause with what is known of it.

    share : of its weight in all that is still open, 0 where it is ruled out.
    signs : what speaks for it or against it, in sentences.
    """

    cause: Cause
    state: State
    share: float
    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Narrowed:
    """A symptom after some answers; causes by share, what is ruled out last.

    next : what is looked at next; None where every check was answered.
    """

    symptom: str
    causes: tuple[Weighed, ...]
    next: Weighed | None

    @property
    def found(self) -> tuple[Weighed, ...]:
        """Causes whose check did not show what is to be expected."""
        return tuple(one for one in self.causes if one.state == "found")

    @property
    def is_open(self) -> bool:
        """Whether some cause is still possible."""
        return any(one.state != "ruled out" for one in self.causes)


def narrowed(
    causes: tuple[Cause, ...],
    *,
    answers: Mapping[int, Answer] | None = None,
    signs: Iterable[Sign] = (),
) -> Narrowed:
    """Weigh the causes of one symptom; a function of its arguments alone.

    causes  : of one symptom, the likeliest first. A cause weighs one over its rank, times what each
    sign and answer does to it (tables/fault_figures.csv).
    answers : rank of a cause -> whether its check showed what is to be expected. "yes" rules the
    cause out, "no" finds it, "cannot tell" puts it behind.

    Raises EavewellFault for an answer to a cause that is not there.
    """
    said, seen = dict(answers or {}), tuple(signs)
    _refuse_unknown(causes, said)
    weights = {one.rank: _weight(one, said.get(one.rank), signs=seen) for one in causes}
    whole = sum(weights.values()) or 1.0
    found = [
        Weighed(
            one,
            _state(said.get(one.rank)),
            weights[one.rank] / whole,
            tuple(words for words, _ in _turned(one, seen)),
        )
        for one in causes
    ]
    ranked = sorted(found, key=lambda one: (one.state != "found", -one.share, one.cause.rank))
    return Narrowed(causes[0].symptom, tuple(ranked), _next(ranked))


def _refuse_unknown(causes: tuple[Cause, ...], said: Mapping[int, Answer]) -> None:
    ranks = [one.rank for one in causes]
    wrong = [rank for rank in said if rank not in ranks]
    if wrong:
        raise EavewellFault(
            f"{causes[0].symptom!r} has no cause {wrong[0]} here; there are "
            f"{', '.join(str(rank) for rank in ranks)}."
        )


def _state(answer: Answer | None) -> State:
    states: Mapping[Answer | None, State] = {
        None: "open",
        "yes": "ruled out",
        "no": "found",
        "cannot tell": "cannot tell",
    }
    return states[answer]


def _weight(cause: Cause, answer: Answer | None, *, signs: tuple[Sign, ...]) -> float:
    if answer == "yes":
        return 0.0
    weight = 1.0 / cause.rank
    for _, times in _turned(cause, signs):
        weight *= times
    return weight * (
        table("fault_figures")["cannot tell"].value if answer == "cannot tell" else 1.0
    )


def _turned(cause: Cause, signs: tuple[Sign, ...]) -> Iterator[tuple[str, float]]:
    """What the log says for or against a cause, and how many times as likely it makes it."""
    times = table("fault_figures")["sign in the log"].value
    for row in rows("fault_signs"):
        if (row["symptom"], int(row["rank"])) == (cause.symptom, cause.rank):
            for sign in signs:
                if sign.kind == row["sign"]:
                    raises = row["turns"] == "raises"
                    which = "More likely" if raises else "Less likely"
                    yield f"{which}: {sign.says}.", times if raises else 1.0 / times


def _next(ranked: list[Weighed]) -> Weighed | None:
    """The likeliest that was not answered, then what could not be told."""
    for state in ("open", "cannot tell"):
        left = [one for one in ranked if one.state == state]
        if left:
            return max(left, key=lambda one: (one.share, -one.cause.rank))
    return None


def symptom_named(words: str, known: Iterable[str]) -> str:
    """The symptom that somebody means: by its words, or by some of them.

    Raises EavewellFault that lists the symptoms where none or several are meant.
    """
    every, wanted = tuple(known), words.casefold().split()
    if words.isdigit() and 0 < int(words) <= len(every):
        return every[int(words) - 1]
    meant = [one for one in every if one.casefold() == words.casefold()]
    meant = meant or [one for one in every if all(word in one.casefold() for word in wanted)]
    if len(meant) == 1:
        return meant[0]
    several = "several symptoms are" if meant else "no symptom is"
    listed = "; ".join(f"{at} {one}" for at, one in enumerate(every, 1))
    raise EavewellFault(f"With {words!r} {several} meant. Say one of: {listed}.")
