"""The nodes and links of a net, and the head lost along all links at once."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from eavewell.hydraulics.friction import (
    GRAVITY_M_S2,
    HAZEN_WILLIAMS_EXPONENT,
    resistance_hazen_williams,
)
from eavewell.site.rain_record import FloatArray

# Under this head, in m, an outlet to the air is taken as straight.
LEAST_HEAD_M = 1e-4
# Backwards it lets this part of that through: next to nothing, so that air drawn in at a high
# outlet does not feed the lower ones.
BACKWARDS = 1e-12
# Below this slope, in m per L/s, a loss is taken as straight: at no flow a pipe loses nothing.
LEAST_SLOPE = 1e-4


@dataclass(frozen=True, slots=True)
class Node:
    """A point of the net.

    head_m     : level of the water that stands there; None where the head is sought.
    demand_l_s : water drawn there whatever the head.
    emitter_k  : outlet to the air, flow = k pressure ** emitter_x with the pressure in m; 0 none.
    """

    name: str
    level_m: float = 0.0
    head_m: float | None = None
    demand_l_s: float = 0.0
    emitter_k: float = 0.0
    emitter_x: float = 0.5


@dataclass(frozen=True, slots=True)
class Link:
    """A pipe, a pump or something that loses head.

    bore_mm, length_m, roughness_c, k : a pipe with its fittings' coefficients.
    loss_s2  : head lost per (L/s) squared, as a filter's; beside or in place of the pipe.
    curve    : a pump's pairs of flow (L/s) and head (m), flow rising from 0 and head falling.
    one_way  : True behind a check valve; a pump always is.
    """

    name: str
    start: str
    end: str
    bore_mm: float = 0.0
    length_m: float = 0.0
    roughness_c: float = 150.0
    k: float = 0.0
    loss_s2: float = 0.0
    curve: tuple[tuple[float, float], ...] = ()
    one_way: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Curves:
    """Loss of every link as r |q|^n + m q |q|, less a pump's lift; shape (link,).

    lift_m : a pump's head at no flow. begin : flows to start from. straight_l_s : flows of outlets
    to the air under which their loss is straight; 0 for other links.
    """

    resistance: FloatArray
    exponent: FloatArray
    square: FloatArray
    pumps: tuple[tuple[int, FloatArray, FloatArray], ...]
    one_way: NDArray[np.bool_]
    lift_m: FloatArray
    begin: FloatArray
    straight_l_s: FloatArray

    def at(self, flows: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Head lost at these flows and its slope, in m and m per L/s."""
        size = np.maximum(np.abs(flows), self.straight_l_s)
        power = self.resistance * size ** (self.exponent - 1.0)
        # a loss that even in full is flatter than that is taken as straight: no step between
        chord = np.maximum(power + self.square * size, np.where(self.lift_m, 0.0, LEAST_SLOPE))
        loss, slope = chord * flows, self.exponent * power + 2.0 * self.square * size
        straight = flows <= self.straight_l_s
        straight &= self.straight_l_s > 0.0
        drop = LEAST_HEAD_M / np.where(straight, self.straight_l_s, 1.0)
        drop = np.where(flows < 0.0, drop / BACKWARDS, drop)
        loss, slope = np.where(straight, drop * flows, loss), np.where(straight, drop, slope)
        for row, ends_l_s, heads_m in self.pumps:
            at = int(np.clip(np.searchsorted(ends_l_s, flows[row]) - 1, 0, ends_l_s.size - 2))
            falls = (heads_m[at] - heads_m[at + 1]) / (ends_l_s[at + 1] - ends_l_s[at])
            loss[row] -= heads_m[at] - falls * (flows[row] - ends_l_s[at])
            slope[row] += falls
        return loss, np.maximum(slope, LEAST_SLOPE)


def curves_of(links: Sequence[Link], emitters: Sequence[Node]) -> Curves:
    """The curves of links, then of nodes that let water out: of head (q / k)^(1/x)."""
    count = len(links) + len(emitters)
    lift_m, begin = np.zeros(count), np.full(count, 0.1)
    pumps = []
    for row, link in enumerate(links):
        if link.curve:
            flows, heads = (np.array(column) for column in zip(*link.curve, strict=True))
            pumps.append((row, flows, heads))
            lift_m[row], begin[row] = heads[0], flows[-1] / 2.0
        elif link.bore_mm:
            begin[row] = 1000.0 * math.pi / 4.0 * (link.bore_mm / 1000.0) ** 2 * 0.3
    begin[len(links) :] = [emitter.emitter_k for emitter in emitters]
    return Curves(
        resistance=np.array(
            [_friction(link) for link in links]
            + [emitter.emitter_k ** (-1.0 / emitter.emitter_x) for emitter in emitters]
        ),
        exponent=np.array(
            [HAZEN_WILLIAMS_EXPONENT] * len(links)
            + [1.0 / emitter.emitter_x for emitter in emitters]
        ),
        square=np.array([_square(link) for link in links] + [0.0] * len(emitters)),
        pumps=tuple(pumps),
        one_way=np.array(
            [link.one_way or bool(link.curve) for link in links] + [True] * len(emitters)
        ),
        lift_m=lift_m,
        begin=begin,
        straight_l_s=np.array(
            [0.0] * len(links) + [one.emitter_k * LEAST_HEAD_M**one.emitter_x for one in emitters]
        ),
    )


def _friction(link: Link) -> float:
    if link.length_m <= 0.0 or link.bore_mm <= 0.0:
        return 0.0
    return resistance_hazen_williams(link.bore_mm, link.length_m, roughness_c=link.roughness_c)


def _square(link: Link) -> float:
    if not link.k:
        return link.loss_s2
    area_m2 = math.pi / 4.0 * (link.bore_mm / 1000.0) ** 2
    return link.loss_s2 + link.k / (2.0 * GRAVITY_M_S2 * (1000.0 * area_m2) ** 2)
