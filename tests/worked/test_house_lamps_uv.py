"""EPA Ultraviolet Disinfection Guidance Manual, table 1.4, for lamps of a house.

FOUND: 40 mJ/cm2 is four logs of Cryptosporidium and Giardia and half a log of virus; 186 is four
logs of virus. From memory: a lamp at the end of its life gives 70 % of its light.
"""

import pytest


@pytest.fixture
def logs(made_up_barriers, making):
    made, barriers = made_up_barriers, made_up_barriers.Barriers(making)

    def _logs(*doses, **fields):
        lamps = (
            made.with_works(
                made.thing("lamp", f"lamp {at}", works=made.PROVEN),
                validated_mj_cm2=dose,
                **fields,
            )
            for at, dose in enumerate(doses)
        )
        (run,) = barriers.run(made.line(made.FINE, *lamps))
        return {one.organism: one.logs for one in run.against}

    return _logs


@pytest.mark.parametrize(
    ("dose", "cysts", "giardia", "virus"),
    [
        (16.0, 3.5, 3.5, 0.0),
        (30.0, 4.0, 4.0, 0.0),
        (40.0, 4.0, 4.0, 0.5),
        (100.0, 4.0, 4.0, 2.0),
        (186.0, 4.0, 4.0, 4.0),
        (900.0, 4.0, 4.0, 4.0),
        (1.5, 0.0, 0.5, 0.0),
        (1.0, 0.0, 0.0, 0.0),
    ],
)
def test_what_a_proven_dose_earns(logs, dose, cysts, giardia, virus):
    assert logs(dose) == {"cryptosporidium": cysts, "giardia": giardia, "virus": virus}


@pytest.mark.parametrize(
    ("new", "counts"),
    # 186 when new is 130.2, 2.5 logs of virus; 266 is 186.2, four; 55 is 38.5, none
    [(186.0, 2.5), (266.0, 4.0), (55.0, 0.0), (56.0, 0.5)],
)
def test_a_dose_of_a_new_lamp_counts_with_its_last_light(logs, new, counts):
    assert logs(new, at_end=False)["virus"] == counts


def test_no_listing_and_no_name_plate_earns(logs):
    for listing in ("class A", "class B"):
        assert set(logs(40.0, document="", listing=listing).values()) == {0.0}


def test_two_proven_lamps_one_after_the_other_add_up(logs):
    assert logs(40.0, 40.0)["virus"] == 1.0
    # which is less than the table gives for the two doses together, 1.5 at 79
    assert logs(80.0)["virus"] == 1.5
