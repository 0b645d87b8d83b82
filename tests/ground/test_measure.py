"""The measuring helper of the benchmarks counts right."""

from benchmarks.measure import Row, quantile, repeat, table

TIMES = tuple(n / 1000 for n in range(1, 101))  # 1 ms to 100 ms


def test_quantiles_are_times_that_were_measured() -> None:
    """Of 1 to 100 ms, half stay within 50 ms and 95 % within 95 ms."""
    assert (quantile(TIMES, 0.5), quantile(TIMES, 0.95)) == (0.050, 0.095)
    assert quantile((0.003,), 0.95) == 0.003


def test_a_budget_is_for_the_named_figure() -> None:
    """A p95 of 95 ms misses 95 ms and meets 96 ms; without a budget nothing is said."""
    assert Row("page", TIMES, "p95", 0.095).met is False
    assert Row("page", TIMES, "p95", 0.096).met is True
    assert Row("page", TIMES, "median", 0.060).met is True
    assert Row("page", TIMES, "p95").met is None


def test_a_missed_budget_stands_out_in_the_table() -> None:
    """The row names the figures in milliseconds and says no in bold."""
    line = table([Row("page", TIMES, "p95", 0.050)]).splitlines()[-1]
    assert line == "| page | 100 | 1 | 50 | 95 | p95 < 50 ms | **no** |"


def test_warming_up_is_not_measured() -> None:
    """Three repetitions after two to warm up are five calls and three times."""
    calls: list[int] = []
    times = repeat(lambda: calls.append(1), times=3, warm=2)
    assert (len(calls), len(times)) == (5, 3)
