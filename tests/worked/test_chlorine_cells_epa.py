"""EPA 815-R-20-003 (2020), table B-1: chlorine against Giardia, every cell.

FOUND: a copy of all 588 cells, read beside the table that ships; virus of table B-2.
Rows: chlorine in mg/L, then pH 6, 6.5, 7, 7.5, 8, 8.5 and 9. Contact in mg min/L.
"""

from itertools import pairwise, product

import pytest

from eavewell.faults import OutOfRange
from eavewell.treatment.chlorine import (
    contact_volume_l,
    giardia_ct_mg_min_l,
    logs_by_ratio,
    virus_ct_interpolated_mg_min_l,
    virus_ct_mg_min_l,
)

PH = (6.0, 6.5, 7.0, 7.5, 8.0, 8.5, 9.0)
GIARDIA = """
at 0.5 C
0.4 137 163 195 237 277 329 390
0.6 141 168 200 239 286 342 407
0.8 145 172 205 246 295 354 422
1.0 148 176 210 253 304 365 437
1.2 152 180 215 259 313 376 451
1.4 155 184 221 266 321 387 464
1.6 157 189 226 273 329 397 477
1.8 162 193 231 279 338 407 489
2.0 165 197 236 286 346 417 500
2.2 169 201 242 297 353 426 511
2.4 172 205 247 298 361 435 522
2.6 175 209 252 304 368 444 533
2.8 178 213 257 310 375 452 543
3.0 181 217 261 316 382 460 552
at 5 C
0.4 97 117 139 166 198 236 279
0.6 100 120 143 171 204 244 291
0.8 103 122 146 175 210 252 301
1.0 105 125 149 179 216 260 312
1.2 107 127 152 183 221 267 320
1.4 109 130 155 187 227 274 329
1.6 111 132 158 192 232 281 337
1.8 114 135 162 196 238 287 345
2.0 116 138 165 200 243 294 353
2.2 118 140 169 204 248 300 361
2.4 120 143 172 209 253 306 368
2.6 122 146 175 213 258 312 375
2.8 124 148 178 217 263 318 382
3.0 126 151 182 221 268 324 389
at 10 C
0.4 73 88 104 125 149 177 209
0.6 75 90 107 128 153 183 218
0.8 78 92 110 131 158 189 226
1.0 79 94 112 134 162 195 234
1.2 80 95 114 137 166 200 240
1.4 82 98 116 140 170 206 247
1.6 83 99 119 144 174 211 253
1.8 86 101 122 147 179 215 259
2.0 87 104 124 150 182 221 265
2.2 89 105 127 153 186 225 271
2.4 90 107 129 157 190 230 276
2.6 92 110 131 160 194 234 281
2.8 93 111 134 163 197 239 287
3.0 95 113 137 166 201 243 292
at 15 C
0.4 49 59 70 83 99 118 140
0.6 50 60 72 86 102 122 146
0.8 52 61 73 88 105 126 151
1.0 53 63 75 90 108 130 156
1.2 54 64 76 92 111 134 160
1.4 55 65 78 94 114 137 165
1.6 56 66 79 96 116 141 169
1.8 57 68 81 98 119 144 173
2.0 58 69 83 100 122 147 177
2.2 59 70 85 102 124 150 181
2.4 60 72 86 105 127 153 184
2.6 61 73 88 107 129 156 188
2.8 62 74 89 109 132 159 191
3.0 63 76 91 111 134 162 195
at 20 C
0.4 36 44 52 62 74 89 105
0.6 38 45 54 64 77 92 109
0.8 39 46 55 66 79 95 113
1.0 39 47 56 67 81 98 117
1.2 40 48 57 69 83 100 120
1.4 41 49 58 70 85 103 123
1.6 42 50 59 72 87 105 126
1.8 43 51 61 74 89 108 129
2.0 44 52 62 75 91 110 132
2.2 44 53 63 77 93 113 135
2.4 45 54 65 78 95 115 138
2.6 46 55 66 80 97 117 141
2.8 47 56 67 81 99 119 143
3.0 47 57 68 83 101 122 146
at 25 C
0.4 24 29 35 42 50 59 70
0.6 25 30 36 43 51 61 73
0.8 26 31 37 44 53 63 75
1.0 26 31 37 45 54 65 78
1.2 27 32 38 46 55 67 80
1.4 27 33 39 47 57 69 82
1.6 28 33 40 48 58 70 84
1.8 29 34 41 49 60 72 86
2.0 29 35 41 50 61 74 88
2.2 30 35 42 51 62 75 90
2.4 30 36 43 52 63 77 92
2.6 31 37 44 53 65 78 94
2.8 31 37 45 54 66 80 96
3.0 32 38 46 55 67 81 97
"""
VIRUS = {0.5: (12, 90), 5: (8, 60), 10: (6, 45), 15: (4, 30), 20: (3, 22), 25: (2, 15)}


def cells():
    """Contact by temperature, chlorine and pH, as printed above."""
    found, celsius = {}, 0.0
    for row in GIARDIA.strip().splitlines():
        if row.startswith("at "):
            celsius = float(row.split()[1])
            continue
        mg_l, *contacts = map(float, row.split())
        found |= {(celsius, mg_l, ph): ct for ph, ct in zip(PH, contacts, strict=True)}
    return found


CELLS = cells()
WARMTHS = sorted({celsius for celsius, _, _ in CELLS})
LEVELS = sorted({mg_l for _, mg_l, _ in CELLS})


def test_all_588_cells():
    assert len(CELLS) == 588 == 6 * 14 * 7
    for (celsius, mg_l, ph), ct in CELLS.items():
        assert giardia_ct_mg_min_l(celsius, ph, mg_l=mg_l) == ct


def test_one_and_two_logs_are_thirds_of_three():
    for (celsius, mg_l, ph), ct in CELLS.items():
        assert giardia_ct_mg_min_l(celsius, ph, mg_l=mg_l, logs=1) == pytest.approx(ct / 3)
        assert giardia_ct_mg_min_l(celsius, ph, mg_l=mg_l, logs=2) == pytest.approx(ct * 2 / 3)


def test_between_the_cells_the_contact_is_that_of_the_worst_corner():
    """Nothing between four neighbours asks for less than any of them."""
    for cold, warm in pairwise(WARMTHS):
        for (low, high), (weak, strong) in product(pairwise(PH), pairwise(LEVELS)):
            corners = [CELLS[row] for row in product((cold, warm), (weak, strong), (low, high))]
            between = giardia_ct_mg_min_l(
                (cold + warm) / 2, (low + high) / 2, mg_l=(weak + strong) / 2
            )
            assert between == max(corners) == CELLS[cold, strong, high]


def test_a_fine_sweep_never_falls_with_ph_or_chlorine_nor_rises_with_warmth():
    sweep = [0.5 + 0.35 * step for step in range(71)]
    contacts = [giardia_ct_mg_min_l(celsius, 7.3, mg_l=0.9) for celsius in sweep]
    assert contacts == sorted(contacts, reverse=True)
    contacts = [giardia_ct_mg_min_l(8.0, 4.0 + 0.05 * step, mg_l=0.9) for step in range(101)]
    assert contacts == sorted(contacts)
    contacts = [giardia_ct_mg_min_l(8.0, 7.3, mg_l=0.05 * step) for step in range(1, 100)]
    assert contacts == sorted(contacts)
    viruses = [virus_ct_mg_min_l(celsius, 7.0) for celsius in sweep]
    assert viruses == sorted(viruses, reverse=True)


def test_sour_water_counts_as_ph_6():
    for celsius, mg_l in product(WARMTHS, LEVELS):
        assert giardia_ct_mg_min_l(celsius, 4.2, mg_l=mg_l) == CELLS[celsius, mg_l, 6.0]


@pytest.mark.parametrize("celsius", list(VIRUS))
def test_every_virus_cell(celsius):
    usual, lime = VIRUS[celsius]
    for ph in (6.0, 7.5, 9.0):
        assert virus_ct_mg_min_l(celsius, ph) == usual
    for ph in (9.1, 10.0):
        assert virus_ct_mg_min_l(celsius, ph) == lime


def test_virus_in_water_of_two_degrees():
    assert virus_ct_mg_min_l(2.0, 7.0) == 12
    assert virus_ct_interpolated_mg_min_l(2.0) == pytest.approx(10.67, abs=0.005)


def test_interpolation_never_asks_for_more_than_the_look_up():
    for step in range(246):
        celsius = 0.5 + step / 10
        assert virus_ct_interpolated_mg_min_l(celsius) <= virus_ct_mg_min_l(celsius, 7.0) + 1e-9


@pytest.mark.parametrize(
    ("celsius", "ph", "says"),
    [
        (0.49, 7.0, "0.5 to 25 C"),
        (-3.0, 7.0, "0.5 to 25 C"),
        (25.1, 7.0, "0.5 to 25 C"),
        (10.0, 9.01, "pH 9"),
        (float("nan"), 7.0, "C"),
    ],
)
def test_giardia_outside_the_table_is_refused_in_words(celsius, ph, says):
    with pytest.raises(OutOfRange, match=says):
        giardia_ct_mg_min_l(celsius, ph, mg_l=1.0)


def test_a_ph_that_is_no_number_is_refused():
    with pytest.raises(OutOfRange):
        giardia_ct_mg_min_l(10.0, float("nan"), mg_l=1.0)
    with pytest.raises(OutOfRange):
        virus_ct_mg_min_l(10.0, float("nan"))


def test_56_minutes_at_one_milligram():
    # DERIVED: 20 C, pH 7, 1 mg/L: 56 mg min/L is 56 min, and 3 min for four logs of virus
    assert giardia_ct_mg_min_l(20, 7, mg_l=1.0) / 1.0 == 56
    assert virus_ct_mg_min_l(20, 7) / 1.0 == 3


def test_volume_at_eight_gallons_a_minute():
    gal = 3.785411784
    peak_l_s = 8 * gal / 60
    # 56 min x 8 gal/min over a tenth, and 3 x 8 over a tenth
    for ct, gallons in ((56, 56 * 8 * 10), (3, 3 * 8 * 10)):
        volume_l = contact_volume_l(ct, peak_l_s, mg_l=1.0, baffle=0.1)
        assert volume_l == pytest.approx(gallons * gal)
        # and back: residual x factor x volume over flow is the contact that earns the whole
        back = 1.0 * 0.1 * volume_l / (peak_l_s * 60)
        assert logs_by_ratio(back, ct, table_logs=3.0) == pytest.approx(3.0)
    assert (56 * 8 * 10, 3 * 8 * 10) == (4480, 240)


def test_a_larger_contact_never_earns_less_nor_more_than_the_table():
    earned = [logs_by_ratio(step * 1.7, 56, table_logs=3.0) for step in range(100)]
    assert earned == sorted(earned)
    assert earned[0] == 0.0
    assert max(earned) == 3.0
    for bad in ((-1.0, 56.0), (56.0, 0.0)):
        with pytest.raises(OutOfRange):
            logs_by_ratio(*bad, table_logs=3.0)
