"""Pressure in a net of pipes, pumps and outlets: the global gradient method.

Todini and Pilati (1988): every link's loss is made straight at its present flow, the heads follow
from the balance at the nodes, the flows from the heads, again and again until nothing moves.
Pumps, emitters and check valves pass water one way only; what they shut off has no head.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from eavewell.faults import Fault, OutOfRange
from eavewell.hydraulics.links import LEAST_SLOPE, Curves, Link, Node, curves_of
from eavewell.site.rain_record import FloatArray

BoolArray = NDArray[np.bool_]
MOST_ROUNDS = 1000
MOST_SWITCHES = 60
STEP_HALVINGS = 8
CLOSES_TO = 1e-8
# Less than this is no flow: a few millilitres an hour.
STILL_L_S = 1e-6
# Flows are weighed against no less than this, so that a net that stands still comes to rest.
LEAST_L_S = 1e-2
# Share of the largest head below which no difference of heads is told.
ROUNDING = 2e-15


@dataclass(frozen=True, slots=True)
class Network:
    """Nodes and the links between them."""

    nodes: tuple[Node, ...]
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Solved:
    """A net at rest.

    head_m   : by node; None where no open way leads to a source.
    flow_l_s : by link, along it. outlet_l_s : by node with an emitter.
    beyond   : pumps that run beyond the last point of their curve.
    mass_l_s : the largest flow that any node neither passes on nor draws.
    """

    head_m: Mapping[str, float | None]
    flow_l_s: Mapping[str, float]
    outlet_l_s: Mapping[str, float]
    beyond: frozenset[str]
    mass_l_s: float
    pressure_m: Mapping[str, float | None] = field(default_factory=dict)


def solve(network: Network) -> Solved:
    """Heads and flows of a net.

    Raises OutOfRange in sentences: no source, a node that nothing joins, a pipe of no length, a
    draw that no water reaches, or a net that does not come to rest.
    """
    _check(network)
    net = _Net(network)
    flows, heads = net.settle()
    return net.solved(flows, heads)


@dataclass(frozen=True, slots=True)
class Tree:
    """Nodes that hang on one link each, with it and the node beyond, from the ends inward.

    rest : what is left: the nodes that loops join, or the last of a tree.
    """

    ends: tuple[tuple[int, int, int], ...]
    rest: BoolArray


class _Net:
    """A network as arrays; emitters are links from their node to the air above it."""

    def __init__(self, network: Network) -> None:
        self.network = network
        nodes = network.nodes
        at = {node.name: row for row, node in enumerate(nodes)}
        emitting = [row for row, node in enumerate(nodes) if node.emitter_k > 0.0]
        self.emitting = emitting
        links = network.links
        count = len(nodes)
        self.start = np.array([at[link.start] for link in links] + emitting, dtype=np.int64)
        ends = [at[link.end] for link in links] + [count + k for k in range(len(emitting))]
        self.end = np.array(ends, dtype=np.int64)
        fixed = [node.head_m for node in nodes] + [nodes[row].level_m for row in emitting]
        self.fixed = np.array([head is not None for head in fixed])
        levels = [node.level_m for node in nodes] + [0.0] * len(emitting)
        # what is not held stands at its own level until water reaches it
        known = zip(fixed, levels, strict=True)
        self.head = np.array([level if head is None else head for head, level in known])
        self.demand = np.array([node.demand_l_s for node in nodes] + [0.0] * len(emitting))
        self.beside: list[list[tuple[int, int]]] = [[] for _ in fixed]
        for row, (start, end) in enumerate(zip(self.start[: len(links)], self.end, strict=False)):
            self.beside[start].append((row, int(end)))
            self.beside[end].append((row, int(start)))
        self.curves: Curves = curves_of(network.links, [nodes[row] for row in emitting])

    def settle(self) -> tuple[FloatArray, FloatArray]:
        """Flows and heads at rest, with every one-way link open or shut as the heads ask."""
        open_ = np.ones(len(self.start), dtype=np.bool_)
        flows = self.curves.begin.copy()
        for _ in range(MOST_SWITCHES):
            flows, heads = self._rest(flows, open_)
            self.open_ = open_
            wrong = self._wrong(flows, heads, open_=open_)
            if not wrong.any():
                return flows, heads
            # one at a time where several doors would swing at once and back again
            first = np.flatnonzero(wrong)
            chosen = first if _ < MOST_SWITCHES // 3 else first[:1]
            open_ = open_.copy()
            open_[chosen] = ~open_[chosen]
            flows = np.where(open_, np.where(flows > 0.0, flows, self.curves.begin), 0.0)
        raise OutOfRange("The net does not come to rest: its check valves open and shut in turn.")

    def _rest(self, flows: FloatArray, open_: BoolArray) -> tuple[FloatArray, FloatArray]:
        held = self._reached(open_)
        # a part that no open way joins to a source stands still
        runs = open_ & held[self.start]
        tree = self._tree(runs, free=held & ~self.fixed)
        for round_ in range(MOST_ROUNDS):
            loss, slope = self.curves.at(flows)
            give = np.where(runs, 1.0 / slope, 0.0)
            moved = np.where(runs, flows - loss * give, 0.0)
            heads = self._heads(give, moved, tree=tree)
            new = moved + give * (heads[self.start] - heads[self.end])
            least = max(CLOSES_TO * LEAST_L_S, ROUNDING * float(np.abs(heads).max()) / LEAST_SLOPE)
            if np.abs(new - flows).max() <= max(CLOSES_TO * np.abs(new).max(), least):
                return new, heads
            if round_ > 3:
                new = flows + self._step(flows, new, heads=heads, runs=runs) * (new - flows)
            flows = new
        raise OutOfRange("The net of pipes does not come to rest: look for a size that cannot be.")

    def _step(
        self, flows: FloatArray, new: FloatArray, *, heads: FloatArray, runs: BoolArray
    ) -> float:
        """How far to go towards new flows: no farther than the energy of the net still falls."""
        way, drop = new - flows, heads[self.start] - heads[self.end]

        def rises(step: float) -> bool:
            loss, _ = self.curves.at(flows + step * way)
            return float((np.where(runs, loss - drop, 0.0) * way).sum()) > 0.0

        if not rises(1.0):
            return 1.0
        low, high = 0.0, 1.0
        for _ in range(STEP_HALVINGS):
            middle = (low + high) / 2.0
            low, high = (low, middle) if rises(middle) else (middle, high)
        return high

    def _heads(self, give: FloatArray, moved: FloatArray, *, tree: Tree) -> FloatArray:
        """Heads at which every free node passes on what it gets, less its draw.

        What hangs on one pipe is reckoned from its end inward, so that only loops need a matrix.
        """
        count = len(self.head)
        own = np.bincount(self.start, give, count) + np.bincount(self.end, give, count)
        right = np.bincount(self.end, moved, count) - np.bincount(self.start, moved, count)
        right -= self.demand
        for one, other in ((self.start, self.end), (self.end, self.start)):
            held = np.where(self.fixed[other], give * self.head[other], 0.0)
            right += np.bincount(one, held, count)
        gives, owns, rights = give.tolist(), own.tolist(), right.tolist()
        for row, link, towards in tree.ends:
            share = gives[link] / owns[row]
            owns[towards] -= share * gives[link]
            rights[towards] += share * rights[row]
        heads = self.head.copy()
        heads[tree.rest] = self._joined(
            give, np.array(owns), right=np.array(rights), rest=tree.rest
        )
        found = heads.tolist()
        for row, link, towards in reversed(tree.ends):
            found[row] = (rights[row] + gives[link] * found[towards]) / owns[row]
        return np.array(found)

    def _joined(
        self, give: FloatArray, own: FloatArray, *, right: FloatArray, rest: BoolArray
    ) -> FloatArray:
        """Heads of the nodes that loops join."""
        at = np.cumsum(rest) - 1
        matrix = np.diag(own[rest])
        inner = rest[self.start] & rest[self.end]
        start, end = at[self.start[inner]], at[self.end[inner]]
        np.add.at(matrix, (start, end), -give[inner])
        np.add.at(matrix, (end, start), -give[inner])
        return np.asarray(np.linalg.solve(matrix, right[rest]))

    def _tree(self, runs: BoolArray, *, free: BoolArray) -> Tree:
        """Free nodes that hang on one running link, from the ends inward; what is left of them."""
        beside = [
            {link: other for link, other in links if runs[link] and free[other]} if mine else {}
            for links, mine in zip(self.beside, free.tolist(), strict=True)
        ]
        ends, rest = [], free.copy()
        waiting = [row for row, links in enumerate(beside) if len(links) == 1]
        while waiting:
            row = waiting.pop()
            if len(beside[row]) != 1:
                continue
            link, towards = beside[row].popitem()
            ends.append((row, link, towards))
            rest[row] = False
            del beside[towards][link]
            if len(beside[towards]) == 1:
                waiting.append(towards)
        return Tree(tuple(ends), rest)

    def _wrong(self, flows: FloatArray, heads: FloatArray, *, open_: BoolArray) -> BoolArray:
        """One-way links that run backwards, and shut ones that the heads would open."""
        drop = heads[self.start] - heads[self.end]
        backwards = open_ & self.curves.one_way & (flows < -STILL_L_S)
        would_run = ~open_ & (drop + self.curves.lift_m > 1e-6) & self._held(open_)
        return np.asarray(backwards | would_run)

    def _held(self, open_: BoolArray) -> BoolArray:
        """Links whose start has a head of its own, by an open way from a source."""
        return np.asarray(self._reached(open_)[self.start])

    def _reached(self, open_: BoolArray) -> BoolArray:
        """Nodes that an open way joins to a source; the air gives no head."""
        reached = self.fixed.copy()
        reached[len(self.network.nodes) :] = False
        waiting = np.flatnonzero(reached).tolist()
        while waiting:
            for link, node in self.beside[waiting.pop()]:
                if open_[link] and not reached[node]:
                    reached[node] = True
                    waiting.append(node)
        return np.asarray(reached)

    def solved(self, flows: FloatArray, heads: FloatArray) -> Solved:
        """The result by name; refuses a draw that no water reaches."""
        nodes, links = self.network.nodes, self.network.links
        reached = self._reached(self.open_)
        for row, node in enumerate(nodes):
            if node.demand_l_s > 0.0 and not reached[row]:
                raise OutOfRange(
                    f"No water reaches {node.name!r}: a pump or a check valve is shut."
                )
        head_m = {
            node.name: float(heads[row]) if reached[row] else None for row, node in enumerate(nodes)
        }
        return Solved(
            head_m=head_m,
            flow_l_s={link.name: float(flows[row]) for row, link in enumerate(links)},
            outlet_l_s={
                nodes[row].name: max(float(flows[len(links) + k]), 0.0)
                for k, row in enumerate(self.emitting)
            },
            beyond=frozenset(
                link.name
                for row, link in enumerate(links)
                if link.curve and flows[row] > link.curve[-1][0] * (1.0 + 1e-9)
            ),
            mass_l_s=self._mass(flows),
            pressure_m={
                node.name: None if head is None else head - node.level_m
                for node, head in zip(nodes, head_m.values(), strict=True)
            },
        )

    def _mass(self, flows: FloatArray) -> float:
        balance = -self.demand.copy()
        np.add.at(balance, self.end, flows)
        np.add.at(balance, self.start, -flows)
        free = ~self.fixed & (self._reached(self.open_) | (self.demand > 0.0))
        return float(np.abs(balance[free]).max()) if free.any() else 0.0


def _check(network: Network) -> None:
    """Every fault of a net at once."""
    faults = []
    names = [node.name for node in network.nodes]
    if len(set(names)) < len(names):
        faults.append("Two nodes of the net have one name.")
    if not any(node.head_m is not None for node in network.nodes):
        faults.append("The net has no source: no tank, no main, nothing that gives it a head.")
    joined = {name for link in network.links for name in (link.start, link.end)}
    faults += [f"{name!r} is joined by no pipe." for name in names if name not in joined]
    for link in network.links:
        faults += _link_faults(link, names)
    for node in network.nodes:
        if node.emitter_k < 0.0 or not 0.0 < node.emitter_x <= 2.0:
            faults.append(f"The outlet at {node.name!r} is none: its exponent or size is wrong.")
    if faults:
        raise OutOfRange([Fault(says) for says in faults])


def _link_faults(link: Link, names: list[str]) -> list[str]:
    faults = [
        f"{link.name!r} ends at {end!r}, which is not there."
        for end in (link.start, link.end)
        if end not in names
    ]
    if link.start == link.end:
        faults.append(f"{link.name!r} leads from {link.start!r} to itself.")
    heads = [head for _, head in link.curve]
    if link.curve and (len(heads) < 2 or heads != sorted(set(heads), reverse=True)):
        faults.append(f"{link.name!r}: the head of its curve must fall as the flow rises.")
    if not link.curve and link.loss_s2 <= 0.0 and (link.bore_mm <= 0.0 or link.length_m <= 0.0):
        faults.append(f"{link.name!r} is a pipe of no length or no bore.")
    return faults
