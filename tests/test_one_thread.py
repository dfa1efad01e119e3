"""Tests load numpy as the command line does: one thread for the linear algebra, set in time."""

import os


def test_threads_are_set_before_numpy_is_loaded(numpy_was_loaded: bool) -> None:
    assert not numpy_was_loaded
    assert os.environ["OPENBLAS_NUM_THREADS"]
