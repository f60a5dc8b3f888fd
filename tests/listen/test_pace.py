"""Progress while a step runs that says nothing of itself."""

import time

from annotate.listen.pace import Pace, share


def test_a_step_is_nine_tenths_done_on_time_and_never_done_before_it_is() -> None:
    assert [round(share(elapsed, 10), 3) for elapsed in (0, 5, 10, 20, 1000)] == [0.0, 0.45, 0.9, 0.95, 0.999]


def test_progress_goes_on_evenly_inside_a_step_and_the_next_is_paced_by_it() -> None:
    told: list[float] = []
    pace = Pace(told.append, cost=1.0, tick_s=0.02)
    with pace.step(0.0, 0.5, amount=0.5):
        time.sleep(0.25)
    first = list(told)
    assert len(first) >= 5
    assert first == sorted(first)
    assert all(0 < at < 0.5 for at in first)
    assert first[-1] < 0.45  # about half of the time that was expected
    with pace.step(0.5, 1.0, amount=0.5):  # now known to take a quarter of a second
        time.sleep(0.25)
    assert 0.8 < told[-1] < 1.0


def test_nothing_is_told_after_the_step() -> None:
    told: list[float] = []
    with Pace(told.append, cost=0.1, tick_s=0.01).step(0.0, 1.0, amount=1.0):
        time.sleep(0.05)
    count = len(told)
    time.sleep(0.05)
    assert len(told) == count
