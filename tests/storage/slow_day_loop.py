"""A second day loop: one lane, dicts and floats, written from the order of a day alone.

It shares no code with the engine. Trucks carry the date on which they arrive, the runs of short
days are counted from the list of days afterwards, and so are the loads of a year.
"""

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from graphlib import TopologicalSorter

MAINS = 1
HAIR = 1e-9


@dataclass
class Day:
    """What happened on one day; keys are the numbers of stores, lifts, uses and trucks."""

    level: dict = field(default_factory=dict)
    spilled: dict = field(default_factory=dict)
    lost: dict = field(default_factory=dict)
    lifted: dict = field(default_factory=dict)
    wanted: dict = field(default_factory=dict)
    planned: dict = field(default_factory=dict)
    supplied: dict = field(default_factory=dict)
    loads: dict = field(default_factory=dict)
    year: int = 0


class SlowDayLoop:
    """Every day of one lane of an arrangement."""

    def __init__(self, arrangement, lane):
        self.a, self.lane = arrangement, lane
        self.stores = range(len(arrangement.spill_to))
        self.level = {k: float(arrangement.start_l[k, lane]) for k in self.stores}
        self.arrives = {}
        self.days = []
        uphill = {k: [] for k in self.stores}
        for k in self.stores:
            if arrangement.spill_to[k] >= 0:
                uphill[arrangement.spill_to[k]].append(k)
        self.downhill = list(TopologicalSorter(uphill).static_order())

    def run(self):
        reads = self.a.day_row
        for number in range(len(reads)):
            row = int(reads[number][self.lane if reads.shape[1] > 1 else 0])
            self._one_day(number, row)
        return self

    def _one_day(self, number, row):
        today, morning = Day(), dict(self.level)
        before = self.days[-1].year if self.days else 0
        today.year = before + int(self.a.new_year[number])
        self._trucks_arrive(number, today)
        self._rain(row)
        if not self.a.ybs:
            self._spill(today)
        self._evaporate(row, today)
        self._lift(today)
        self._serve(row, morning, today)
        if self.a.ybs:
            self._spill(today)
        self._order(number)
        today.level = dict(self.level)
        self.days.append(today)

    def _trucks_arrive(self, number, today):
        for truck, to in enumerate(self.a.truck_to):
            today.loads[truck] = int(self.arrives.get(truck) == number)
            if today.loads[truck]:
                del self.arrives[truck]
                self.level[to] += float(self.a.truck_load_l[truck, self.lane])

    def _rain(self, row):
        for roof, to in enumerate(self.a.roof_to):
            self.level[to] += float(self.a.runoff_mm[row, roof] * self.a.area_m2[roof, self.lane])

    def _spill(self, today):
        for k in self.downhill:
            over = max(0.0, self.level[k] - float(self.a.capacity_l[k, self.lane]))
            today.spilled[k] = over
            self.level[k] -= over
            if self.a.spill_to[k] >= 0:
                self.level[self.a.spill_to[k]] += over

    def _evaporate(self, row, today):
        for k in range(self.a.loss_l.shape[1]):
            today.lost[k] = min(self.level[k], float(self.a.loss_l[row, k]))
            self.level[k] -= today.lost[k]

    def _lift(self, today):
        for lift in range(len(self.a.lift_to)):
            source, target = self.a.lift_from[lift], self.a.lift_to[lift]
            today.lifted[lift] = self._moved(lift, source, target)
            self.level[target] += today.lifted[lift]
            if source >= 0:
                self.level[source] -= today.lifted[lift]

    def _moved(self, lift, source, target):
        of = {n: float(getattr(self.a, n)[lift, self.lane]) for n in self.a._fields if "lift_" in n
              and n not in ("lift_from", "lift_to")}  # fmt: skip
        if self.level[target] > of["lift_target_start_l"]:
            return 0.0
        bounds = [of["lift_limit_l"], of["lift_target_stop_l"] - self.level[target]]
        if source >= 0:
            if self.level[source] < of["lift_source_start_l"]:
                return 0.0
            bounds.append(self.level[source] - of["lift_source_stop_l"])
        return max(0.0, min(bounds))

    def _serve(self, row, morning, today):
        taken = defaultdict(float)
        for use in range(len(self.a.draw)):
            sources = [int(k) for k in self.a.draw[use] if k >= 0]
            wanted = float(self.a.demand_l[row, use] * self.a.scale[use, self.lane])
            planned = wanted * self._ration(use, sum(morning[k] for k in sources))
            missing = planned
            for k in sources:
                at_hand = self.level[k]
                if not self.a.ybs:
                    at_hand = min(at_hand, morning[k] - taken[k])
                kept_back = float(self.a.reserve_l[use, k, self.lane])
                drawn = min(missing, max(0.0, at_hand - kept_back))
                self.level[k] -= drawn
                taken[k] += drawn
                missing -= drawn
            today.wanted[use], today.planned[use] = wanted, planned
            today.supplied[use] = planned - missing

    def _ration(self, use, held):
        for stage in range(self.a.stage_share.shape[1]):
            if held < self.a.stage_below_l[use, stage, self.lane]:
                return float(self.a.stage_share[use, stage])
        return 1.0

    def _order(self, number):
        for truck, to in enumerate(self.a.truck_to):
            low = self.level[to] < self.a.truck_order_l[truck, self.lane]
            room = self.a.capacity_l[to, self.lane] - self.level[to]
            fits = room >= self.a.truck_load_l[truck, self.lane]
            if low and fits and truck not in self.arrives:
                self.arrives[truck] = number + int(self.a.truck_lead[truck])


def kind(day, use):
    """What the day was for the use: idle, full, rationed or short."""
    if day.wanted[use] <= 0.0:
        return "idle"
    if day.planned[use] - day.supplied[use] > HAIR * day.wanted[use]:
        return "short"
    return "rationed" if day.planned[use] < day.wanted[use] else "full"


def longest_run(kinds):
    """The longest run of short days; an idle day neither lengthens nor breaks it."""
    longest = run = 0
    for each in kinds:
        if each != "idle":
            run = run + 1 if each == "short" else 0
        longest = max(longest, run)
    return longest


def sums(loop):
    """The sums of a run under the names of the engine's own, each a list."""
    a, days = loop.a, loop.days
    uses, trucks = range(len(a.draw)), range(len(a.truck_to))
    kinds = {u: [kind(day, u) for day in days] for u in uses}
    years = {k: Counter(day.year for day in days if day.loads[k]) for k in trucks}
    cut = [any(kinds[u][n] in ("short", "rationed") for u in uses) for n in range(len(days))]
    missing = [sum(day.planned[u] - day.supplied[u] for day in days) for u in uses]
    return {
        "spilled_l": [sum(day.spilled[k] for day in days) for k in loop.stores],
        "lost_l": [sum(day.lost.get(k, 0.0) for day in days) for k in loop.stores],
        "lifted_l": [sum(day.lifted[j] for day in days) for j in range(len(a.lift_to))],
        "supplied_l": [sum(day.supplied[u] for day in days) for u in uses],
        "make_up_l": [missing[u] if a.fallback[u] == MAINS else 0.0 for u in uses],
        "short_days": [kinds[u].count("short") for u in uses],
        "rationed_days": [kinds[u].count("rationed") for u in uses],
        "longest_short_days": [longest_run(kinds[u]) for u in uses],
        "cut_days": [sum(cut)],
        "loads": [sum(years[k].values()) for k in trucks],
        "worst_year_loads": [max(years[k].values(), default=0) for k in trucks],
    }
