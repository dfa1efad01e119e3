"""The one engine: any arrangement of stores, day by day, many lanes at once.

Days run in the outer loop, lanes contiguous in the inner one. Inside a day each step is its own
short loop over the lanes, with few arrays in each, so that the compiler vectorises it.

One day: loads due arrive; runoff enters; spill passes downhill; losses; lifts in file order;
uses by priority; make-up; loads ordered. Under yield before spillage the spill waits until the
uses have drawn.

No step branches inside its loop over the lanes: a branch there turns into a masked store, which
stalls the next loop that reads the row. Nothing is allocated, so the compiled code counts no
references (`_nrt=False`), which made it nine times faster.
"""

from typing import Any

import numba

from eavewell.storage.lanes import FALLBACK_MAINS, NO_LIMIT, SHORT_SHARE

_UNCOUNTED: dict[str, Any] = {"_nrt": False}
_step = numba.njit(inline="always", **_UNCOUNTED)


@_step
def _close_year(a, s, t):
    """A year's loads are those since its first day."""
    for k in range(a.truck_to.size):
        worst, loads, before = t.worst_year_loads[k], t.loads[k], s.loads_before[k]
        for i in range(loads.size):
            worst[i] = max(worst[i], loads[i] - before[i])
            before[i] = loads[i]


@_step
def _trucks_arrive(a, s, t, day, kept):
    for k in range(a.truck_to.size):
        due, load, level, loads = s.due[k], a.truck_load_l[k], s.level[a.truck_to[k]], t.loads[k]
        for i in range(due.size):
            come = 1.0 * (due[i] == 0.0)
            level[i] += come * load[i]
            loads[i] += come
        if kept.lane >= 0:
            kept.loads[day, k] = 1.0 if due[kept.lane] == 0.0 else 0.0


@_step
def _runoff_enters(a, s, day):
    """True where water may have come in, so that a store may spill."""
    rows, wet = a.day_row[day], False
    for k in range(a.roof_to.size):
        level, area = s.level[a.roof_to[k]], a.area_m2[k]
        if rows.size == 1:
            depth = a.runoff_mm[rows[0], k]
            if depth > 0.0:
                wet = True
                for i in range(level.size):
                    level[i] += depth * area[i]
        else:
            wet = True
            for i in range(level.size):
                level[i] += a.runoff_mm[rows[i], k] * area[i]
    return wet


@_step
def _spill_downhill(a, s, t, day, kept):
    for turn in range(a.uphill_first.size):
        k = a.uphill_first[turn]
        level, full, spilled, below = s.level[k], a.capacity_l[k], t.spilled_l[k], s.need
        if kept.lane >= 0:
            kept.spilled_l[day, k] = max(level[kept.lane] - full[kept.lane], 0.0)
        if a.spill_to[k] >= 0:
            below = s.level[a.spill_to[k]]
        for i in range(level.size):
            over = max(level[i] - full[i], 0.0)
            below[i] += over
            spilled[i] += over
            level[i] = min(level[i], full[i])


@_step
def _losses(a, s, t, day, kept):
    for k in range(a.loss_l.shape[1]):
        level, lost, rows = s.level[k], t.lost_l[k], a.day_row[day]
        if kept.lane >= 0:
            kept.lost_l[day, k] = level[kept.lane]
        for i in range(level.size):
            wish = a.loss_l[rows[i if rows.size > 1 else 0], k]
            gone = min(wish, level[i])
            lost[i] += gone
            level[i] -= gone
        if kept.lane >= 0:
            kept.lost_l[day, k] -= level[kept.lane]


@_step
def _lift(a, s, t, k):
    move, target, lifted, limit = s.need, s.level[a.lift_to[k]], t.lifted_l[k], a.lift_limit_l[k]
    start, stop = a.lift_target_start_l[k], a.lift_target_stop_l[k]
    source = s.level[a.lift_from[k]]
    least, low = a.lift_source_start_l[k], a.lift_source_stop_l[k]
    for i in range(move.size):
        room = max(stop[i] - target[i], 0.0) * 1.0 * (target[i] <= start[i])
        spare = max(source[i] - low[i], 0.0) * 1.0 * (source[i] >= least[i])
        move[i] = min(spare, limit[i], room)
        source[i] -= move[i]
        target[i] += move[i]
        lifted[i] += move[i]


@_step
def _make_up_store(a, s, t, k):
    """Mains water through an air gap into a store."""
    move, target, lifted, limit = s.need, s.level[a.lift_to[k]], t.lifted_l[k], a.lift_limit_l[k]
    start, stop = a.lift_target_start_l[k], a.lift_target_stop_l[k]
    for i in range(move.size):
        room = max(stop[i] - target[i], 0.0) * 1.0 * (target[i] <= start[i])
        move[i] = min(limit[i], room)
        target[i] += move[i]
        lifted[i] += move[i]


@_step
def _lifts_run(a, s, t, day, kept):
    for k in range(a.lift_to.size):
        if a.lift_from[k] >= 0:
            _lift(a, s, t, k)
        else:
            _make_up_store(a, s, t, k)
        if kept.lane >= 0:
            kept.lifted_l[day, k] = s.need[kept.lane]


@_step
def _ration_stages(a, s):
    """Shares by the level in the morning: the lowest stage reached rules."""
    for u in range(a.stage_share.shape[0]):
        if a.stage_share[u, 0] < 1.0:
            share, held = s.share[u], s.level[a.draw[u, 0]]
            if a.draw.shape[1] > 1 and a.draw[u, 1] >= 0:
                _hold_together(a, s, u)
                held = s.need
            _share_at(a.stage_below_l[u], a.stage_share[u], held, share)


@_step
def _share_at(below_l, portion, held, share):
    """All stages in one pass, two or four: a pass a stage is slower."""
    b0, b1, b2, b3 = below_l[0], below_l[1], below_l[2], below_l[3]
    p0, p1, p2, p3 = portion[0], portion[1], portion[2], portion[3]
    if p2 == 1.0:
        for i in range(share.size):
            c0, c1 = 1.0 * (held[i] < b0[i]), 1.0 * (held[i] < b1[i])
            share[i] = p0 * c0 + (p1 * c1 + (1.0 - c1)) * (1.0 - c0)
    else:
        for i in range(share.size):
            c0, c1 = 1.0 * (held[i] < b0[i]), 1.0 * (held[i] < b1[i])
            c2, c3 = 1.0 * (held[i] < b2[i]), 1.0 * (held[i] < b3[i])
            upper = p2 * c2 + (p3 * c3 + (1.0 - c3)) * (1.0 - c2)
            share[i] = p0 * c0 + (p1 * c1 + upper * (1.0 - c1)) * (1.0 - c0)


@_step
def _hold_together(a, s, u):
    """What the stores that use u draws from hold together."""
    held, first, second = s.need, s.level[a.draw[u, 0]], s.level[a.draw[u, 1]]
    for i in range(held.size):
        held[i] = first[i] + second[i]
    for turn in range(2, a.draw.shape[1]):
        if a.draw[u, turn] >= 0:
            level = s.level[a.draw[u, turn]]
            for i in range(held.size):
                held[i] += level[i]


@_step
def _plan(a, s, u, day):
    """What use u wants today; False where nobody wants."""
    want, scale, rows = s.want, a.scale[u], a.day_row[day]
    if rows.size > 1:
        for i in range(want.size):
            want[i] = a.demand_l[rows[i], u] * scale[i]
        return True
    asked = a.demand_l[rows[0], u]
    if asked > 0.0:
        for i in range(want.size):
            want[i] = asked * scale[i]
    return asked > 0.0


@_step
def _draw(a, s, t, u):
    want, need, share, supplied = s.want, s.need, s.share[u], t.supplied_l[u]
    for i in range(need.size):
        need[i] = want[i] * share[i]
    for turn in range(a.draw.shape[1]):
        k = a.draw[u, turn]
        if k >= 0:
            level, left, reserve = s.level[k], s.left[k], a.reserve_l[u, k]
            for i in range(need.size):
                give = min(max(min(left[i], level[i]) - reserve[i], 0.0), need[i])
                level[i] -= give
                left[i] -= give
                need[i] -= give
                supplied[i] += give


@_step
def _tally(s, t, u):
    need, want, cut = s.need, s.want, s.cut
    run, longest, days = s.run[u], t.longest_short_days[u], t.short_days[u]
    for i in range(need.size):
        short = 1.0 * (need[i] > SHORT_SHARE * want[i])
        days[i] += short
        cut[i] = max(cut[i], short)
        # A day on which nothing is wanted neither lengthens nor breaks a run.
        run[i] = run[i] * max(short, 1.0 * (want[i] <= 0.0)) + short
        longest[i] = max(longest[i], run[i])


@_step
def _tally_rations(s, t, u):
    """As `_tally`, with the days on which the ration was given in full."""
    need, want, cut, share, rationed = s.need, s.want, s.cut, s.share[u], t.rationed_days[u]
    run, longest, days = s.run[u], t.longest_short_days[u], t.short_days[u]
    for i in range(need.size):
        short = 1.0 * (need[i] > SHORT_SHARE * want[i])
        less = 1.0 * (share[i] < 1.0) * 1.0 * (want[i] > 0.0)
        days[i] += short
        rationed[i] += less * (1.0 - short)
        cut[i] = max(cut[i], short, less)
        run[i] = run[i] * max(short, 1.0 * (want[i] <= 0.0)) + short
        longest[i] = max(longest[i], run[i])


@_step
def _mains_make_up(s, t, u):
    need, make_up = s.need, t.make_up_l[u]
    for i in range(need.size):
        make_up[i] += need[i]


@_step
def _uses_draw(a, s, t, day, kept):
    for u in range(a.draw.shape[0]):
        if _plan(a, s, u, day):
            want, need, share = s.want, s.need, s.share[u]
            _draw(a, s, t, u)
            if a.stage_share.shape[1] > 0 and a.stage_share[u, 0] < 1.0:
                _tally_rations(s, t, u)
            else:
                _tally(s, t, u)
            if a.fallback[u] == FALLBACK_MAINS:
                _mains_make_up(s, t, u)
            if kept.lane >= 0:
                plan = want[kept.lane] * share[kept.lane]
                kept.planned_l[day, u] = plan
                kept.supplied_l[day, u] = plan - need[kept.lane]
    cut, cut_days = s.cut, t.cut_days
    for i in range(cut.size):
        cut_days[i] += cut[i]
        cut[i] = 0.0


@_step
def _loads_ordered(a, s):
    """Orders of the evening, and the night; how many loads come in the morning."""
    coming = 0
    for k in range(a.truck_to.size):
        due, order, lead = s.due[k], a.truck_order_l[k], a.truck_lead[k]
        level, full, load = s.level[a.truck_to[k]], a.capacity_l[a.truck_to[k]], a.truck_load_l[k]
        for i in range(due.size):
            fits = 1.0 * (full[i] - level[i] >= load[i])
            wanted = 1.0 * (level[i] < order[i]) * 1.0 * (due[i] <= 0.0) * fits
            due[i] = lead * wanted + due[i] * (1.0 - wanted) - 1.0
            coming += due[i] == 0.0
    return coming


@_step
def _morning(a, s):
    if a.ybs == 0:
        for k in range(s.level.shape[0]):
            level, left = s.level[k], s.left[k]
            for i in range(level.size):
                left[i] = level[i]
    if a.stage_share.shape[1] > 0:
        _ration_stages(a, s)


@_step
def _plain_fill(a, s, t, depth_mm):
    """One store: the morning's water is noted, runoff enters and, under yas, the rest spills."""
    level, left, spilled = s.level[0], s.left[0], t.spilled_l[0]
    area, full = a.area_m2[0], a.capacity_l[0]
    unbounded = NO_LIMIT * a.ybs
    for i in range(level.size):
        left[i] = max(level[i], unbounded)
        filled = level[i] + depth_mm * area[i]
        brim = full[i] + unbounded
        spilled[i] += max(filled - brim, 0.0)
        level[i] = min(filled, brim)


@_step
def _plain_spill(a, s, t):
    level, full, spilled = s.level[0], a.capacity_l[0], t.spilled_l[0]
    for i in range(level.size):
        spilled[i] += max(level[i] - full[i], 0.0)
        level[i] = min(level[i], full[i])


@_step
def _plain_use(a, s, t, asked_l):
    """One use of one store with no ration stage."""
    level, left, reserve, scale = s.level[0], s.left[0], a.reserve_l[0, 0], a.scale[0]
    supplied, days = t.supplied_l[0], t.short_days[0]
    run, longest = s.run[0], t.longest_short_days[0]
    for i in range(level.size):
        want = asked_l * scale[i]
        give = min(max(min(left[i], level[i]) - reserve[i], 0.0), want)
        level[i] -= give
        supplied[i] += give
        short = 1.0 * (want - give > SHORT_SHARE * want)
        days[i] += short
        run[i] = (run[i] + 1.0) * short
        longest[i] = max(longest[i], run[i])


@_step
def _plain_day(a, s, t, day):
    row = a.day_row[day, 0]
    if a.runoff_mm[row, 0] > 0.0:
        _plain_fill(a, s, t, a.runoff_mm[row, 0])
    else:
        level, left = s.level[0], s.left[0]
        for i in range(level.size):
            left[i] = level[i]
    if a.demand_l[row, 0] > 0.0:
        _plain_use(a, s, t, a.demand_l[row, 0])
    if a.ybs == 1 and a.runoff_mm[row, 0] > 0.0:
        _plain_spill(a, s, t)


@_step
def _is_plain(a, kept):
    """One roof, one store, one use and nothing else: the common sizing batch."""
    ones = a.roof_to.size * a.capacity_l.shape[0] * a.draw.shape[0] * a.draw.shape[1]
    extras = a.lift_to.size + a.truck_to.size + a.loss_l.shape[1] + a.stage_share.shape[1]
    mains = a.fallback[0] == FALLBACK_MAINS
    bare = kept.lane < 0 and kept.watched < 0 and not mains
    return ones == 1 and extras == 0 and a.day_row.shape[1] == 1 and bare


@_step
def _watch(s, t, day, kept):
    """The evening of the watched store, in every lane."""
    level, spilled = s.level[kept.watched], t.spilled_l[kept.watched]
    for i in range(level.size):
        kept.evening_l[day, 0, i] = level[i]
        kept.evening_l[day, 1, i] = spilled[i]
        kept.evening_l[day, 2, i] = 0.0
    for u in range(t.supplied_l.shape[0]):
        supplied = t.supplied_l[u]
        for i in range(level.size):
            kept.evening_l[day, 2, i] += supplied[i]


@numba.njit(cache=True, nogil=True, **_UNCOUNTED)
def run_days(a, s, t, kept):
    """Run every day of the arrangement; state, sums and the kept lane are filled in place."""
    if _is_plain(a, kept):
        for day in range(a.day_row.shape[0]):
            _plain_day(a, s, t, day)
        for i in range(t.cut_days.size):
            t.cut_days[i] = t.short_days[0, i]
        return
    coming = 0
    for day in range(a.day_row.shape[0]):
        _morning(a, s)
        if a.new_year[day]:
            _close_year(a, s, t)
        if coming > 0:
            _trucks_arrive(a, s, t, day, kept)
        wet = _runoff_enters(a, s, day) or coming > 0
        if wet and a.ybs == 0:
            _spill_downhill(a, s, t, day, kept)
        _losses(a, s, t, day, kept)
        _lifts_run(a, s, t, day, kept)
        _uses_draw(a, s, t, day, kept)
        if wet and a.ybs == 1:
            _spill_downhill(a, s, t, day, kept)
        coming = _loads_ordered(a, s)
        if kept.lane >= 0:
            for k in range(s.level.shape[0]):
                kept.level_l[day, k] = s.level[k, kept.lane]
        if kept.watched >= 0:
            _watch(s, t, day, kept)
    _close_year(a, s, t)
