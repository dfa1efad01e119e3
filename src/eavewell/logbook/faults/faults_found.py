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
    answers : number of a cause -> whether its check showed what is to be expected. "yes" rules the
    cause out, "no" finds it, "cannot tell" puts it behind.

    Raises EavewellFault for an answer to a cause that is not there.
    """
    said, seen = dict(answers or {}), tuple(signs)
    _refuse_unknown(causes, said)
    weights = {one.number: _weight(one, said.get(one.number), signs=seen) for one in causes}
    whole = sum(weights.values()) or 1.0
    found = [
        Weighed(
            one,
            _state(said.get(one.number)),
            weights[one.number] / whole,
            tuple(words for words, _ in _turned(one, seen)),
        )
        for one in causes
    ]
    ranked = sorted(found, key=lambda one: (one.state != "found", -one.share, one.cause.number))
    return Narrowed(causes[0].symptom, tuple(ranked), _next(ranked))


def _refuse_unknown(causes: tuple[Cause, ...], said: Mapping[int, Answer]) -> None:
    numbers = [one.number for one in causes]
    wrong = [number for number in said if number not in numbers]
    if wrong:
        raise EavewellFault(
            f"{causes[0].symptom!r} has no cause {wrong[0]} here; there are "
            f"{', '.join(str(number) for number in numbers)}."
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
            return max(left, key=lambda one: (one.share, -one.cause.number))
    return None


def answers_of(said: Iterable[str]) -> dict[int, Answer]:
    """Answers as they are typed: "1=yes", "2=no", "3=cannot tell".

    Raises EavewellFault that names every one that cannot be read.
    """
    found: dict[int, Answer] = {}
    wrong = []
    for one in said:
        number, _, words = one.partition("=")
        known = [answer for answer in ANSWERS if answer == " ".join(words.casefold().split())]
        if number.strip().isdecimal() and known:
            found[int(number)] = known[0]
        else:
            wrong.append(one)
    if wrong:
        raise EavewellFault(
            f"{', '.join(repr(one) for one in wrong)}: say the number of a cause and yes, no or "
            "cannot tell, such as 1=yes."
        )
    return found


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
