"""How long a recomputation takes."""

from time import perf_counter

from rushlight.candle.batch import scale
from rushlight.candle.document import read, read_batch
from rushlight.candle.kinds import built_in
from rushlight.candle.weigh import weigh
from tests.candle.support import typed

BUDGET = 0.003  # s, for one document read, weighed and scaled, on an idle machine
SLACK = 4  # a machine shared with other work


def test_reading_weighing_and_scaling_is_quick() -> None:
    """The best of thirty runs after a warm-up is within the budget, with slack."""
    doc, shelf = typed(), built_in()
    times = []
    for _ in range(30):
        start = perf_counter()
        scale(weigh(read(doc, shelf)), read_batch(doc))
        times.append(perf_counter() - start)
    assert min(times[5:]) < BUDGET * SLACK
