"""A pipe as parts: its stock lengths, couplings, fittings, straps and what joins them."""

from collections.abc import Iterator

from eavewell.cost.part_rows import part_rows, row, stock_m_of
from eavewell.cost.stock import joints, spaced, split, stock_of
from eavewell.hydraulics.standard_sizes import is_tube
from eavewell.site.part import Part
from eavewell.site.pipe import Pipe, PipeRun

# a fitting of the head-loss table -> the part that is bought for it
_BOUGHT = {
    "90 elbow": "elbow",
    "long 90 elbow": "elbow",
    "45 elbow": "elbow",
    "tee run": "tee",
    "tee branch": "tee",
    "globe valve": "globe valve",
    "gate valve": "gate valve",
    "ball valve": "ball valve",
    "check valve": "check valve",
}
_AS_THE_PIPE = ("elbow", "tee")
# what closes the joints of a pipe, and the row of tables/stock.csv that says how many
_CLOSED_BY = {
    "pvc pipe": ("solvent cement", "joints a cement"),
    "copper pipe": ("solder", "joints a solder"),
}


def pipe_parts(pipe: Pipe, *, where: str, stand: str, count: int = 1) -> Iterator[Part]:
    """Everything bought for `count` equal pipes; straps and trench are not in it."""
    if count < 1:
        return
    stock_m = stock_m_of(_pipe_of(pipe))
    lengths = split(pipe.length_m, stock_m) * count
    size = {"size": pipe.bore_mm, "stand": stand}
    yield row(
        _pipe_of(pipe),
        count * pipe.length_m,
        where=where,
        lengths_m=tuple(sorted(lengths, reverse=True)),
        **size,
    )
    coupled = count * joints(pipe.length_m, stock_m)
    if coupled:
        yield row("coupling", coupled, where=where, joins=joins_of(pipe), **size)
    fitted = 0
    for name, number in pipe.fittings:
        if name in _BOUGHT and number:
            fitted += count * number
            says = "45 degrees" if name == "45 elbow" else "long sweep" if "long" in name else ""
            own = {"joins": joins_of(pipe)} if _BOUGHT[name] in _AS_THE_PIPE else {}
            yield row(_BOUGHT[name], count * number, where=where, says=says, **size, **own)
    if _pipe_of(pipe) in _CLOSED_BY:
        joined, (closes, often) = 2 * (coupled + fitted + count), _CLOSED_BY[_pipe_of(pipe)]
        yield row(closes, joined / stock_of(often), where=where, stand=stand)


def joins_of(pipe: Pipe) -> str:
    """How a pipe is joined, and with it every fitting that goes as the pipe."""
    return part_rows()[_pipe_of(pipe)]["joins"]


def _pipe_of(pipe: Pipe) -> str:
    """The part that it is cut from; what is sold only as tube is polyethylene."""
    return f"{'polyethylene' if is_tube(pipe.bore_mm) else pipe.material} pipe"


def run_parts(run: PipeRun) -> Iterator[Part]:
    """A collection pipe with its trench or straps, drain and vent."""
    where = f"pipe {run.name!r}"
    buried = run.cover_m is None or run.cover_m > 0.0
    yield from pipe_parts(run.pipe, where=where, stand="along the trench")
    if run.cover_m:
        bore_m = run.pipe.bore_mm / 1000.0
        wide_m, deep_m = bore_m + stock_of("trench beside"), bore_m + run.cover_m
        yield row("excavation", wide_m * deep_m * run.pipe.length_m, where=where, says=_CALL)
    if not buried:
        straps = spaced(run.pipe.length_m, stock_of("straps"))
        yield row("pipe strap", straps, where=where, size=run.pipe.bore_mm)
    if run.drain_mm:
        yield row("pipe drain valve", 1, where=where, size=run.drain_mm)
    if run.vented:
        yield row("pipe vent", 1, where=where)


_CALL = "call before you dig; shore what is deep"
