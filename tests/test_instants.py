"""The maker's day and clock; the zones and their summer time are those of the tz database."""

import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from annotate.instants import clock_time, day_of, has_clock_time, in_words, instant


@pytest.fixture
def new_york(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "America/New_York")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def test_a_moment_in_utc_is_of_the_day_where_the_maker_is(new_york: None) -> None:
    assert day_of("2026-03-02T01:30:00+00:00") == "2026-03-01"
    assert clock_time("2026-03-02T01:30:00Z") == "20:30"
    assert in_words("2026-07-01T03:59:59Z") == "2026-06-30 23:59"  # summer time, UTC-4
    assert in_words("2026-03-02T02:30:00+01:00") == "2026-03-01 20:30"


def test_a_moment_without_a_zone_is_of_the_clock_at_the_bench(new_york: None) -> None:
    assert in_words("2026-03-01T20:30:00") == "2026-03-01 20:30"
    assert instant("2026-03-01T20:30:00") == datetime(2026, 3, 2, 1, 30, tzinfo=UTC)


def test_a_day_alone_has_no_clock_time(new_york: None) -> None:
    for told in ("2026-03-01", "2026-03-01T00:00:00"):  # the second as earlier versions stored it
        assert (in_words(told), clock_time(told), has_clock_time(told)) == ("2026-03-01", "", False)
    assert in_words("2026-03-01T05:00:00Z") == "2026-03-01 00:00"
