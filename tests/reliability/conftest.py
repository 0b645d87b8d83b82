"""What the tests of reliability share: chance, a bench to kill, a workshop of an old schema."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from sqlalchemy import text

from rushlight.store import dialect, upgrade
from tests.support.mortal import Mortal


@dataclass(frozen=True, slots=True)
class Chance:
    """Moments drawn from a seed, which a failure names."""

    seed: int
    drawn: random.Random


@pytest.fixture
def chance() -> Chance:
    """Draw from a seed of its own each run; pytest shows it when the test fails."""
    seed = random.SystemRandom().randrange(2**32)
    print(f"The moments were drawn from the seed {seed}.")  # noqa: T201 - shown on failure
    return Chance(seed, random.Random(seed))  # noqa: S311 - no secret


@pytest.fixture(scope="session")
def mortal() -> Iterator[Mortal]:
    """Return a bench to kill."""
    with Mortal() as helper:
        yield helper


@pytest.fixture(scope="session")
def old(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a workshop of schema 3 with enough in it that bringing it up takes a while."""
    path = tmp_path_factory.mktemp("old") / "old.rushlight"
    dialect.mark_file(path)
    engine = dialect.sqlite_engine(path, patience=1, durable=False)
    with dialect.writing(engine) as connection, connection.begin():
        upgrade.upgrade(connection, 3)
        for number in range(1, 41):
            connection.execute(
                text(
                    "INSERT INTO material (id, slug, role, name, plain, measure, added_at) "
                    "VALUES (:n, :slug, 'wax', :slug, :slug, 'mass', '2026-05-01')"
                ),
                {"n": number, "slug": f"wax-{number}"},
            )
        connection.execute(
            text(
                "INSERT INTO movement (material_id, amount, reason, at) "
                "VALUES (:owner, :amount, 'received', '2026-05-02T10:00:00.000Z')"
            ),
            [{"owner": n % 40 + 1, "amount": n} for n in range(8000)],
        )
    engine.dispose()
    return path


def until_killed(
    mortal: Mortal, place: str | Path, numbers: tuple[int, int], chance: Chance
) -> int:
    """Let a bench write, kill it at some moment; return up to where it was acknowledged.

    numbers: of the first write, and of the last and one more.
    """
    there, end = numbers
    mortal.begin("steps", place, there, end)
    hears = min(there + chance.drawn.randint(0, 12), end)
    while there < hears:
        assert mortal.hear() == str(there)
        there += 1
    time.sleep(chance.drawn.uniform(0, 0.03))
    mortal.kill()
    while (heard := mortal.hear()) is not None:
        assert heard == str(there)
        there += 1
    return there
