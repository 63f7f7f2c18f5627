"""What a job costs, as a calm machine would read it.

The limits in these tests were set on a calm machine with two cores. On one that is slower, or shared with other work, the same
job reads two times longer and more, in processor time too. So a fixed piece of work, the yardstick, is timed in turn with the
job, and the reading is divided by how much slower than on the calm machine the yardstick ran. A faster machine gains nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time

CALM_YARDSTICK_S = 0.88e-3
"""What the yardstick takes on the calm machine [s] (measured; the best of some thousand)."""
ROUNDS = 9


def yardstick() -> float:
    """Sums, small lists and a dictionary: what the chemistry core is made of."""
    table = {f"oxide {i}": 0.1 * i for i in range(12)}
    total = 0.0
    for _ in range(400):
        row = [share * 0.5 for share in table.values()]
        total += sum([a * b for a, b in zip(row, table.values(), strict=True)])
        table["oxide 3"] = total % 1.0
    return total


def processor_s(job: Callable[[], object]) -> float:
    """Processor time of one run [s]."""
    start = process_time()
    job()
    return process_time() - start


def calm_s(
    job: Callable[[], object], *, times: int = 1, rounds: int = ROUNDS, pick: Callable[[list[float]], float] = min
) -> float:
    """Processor time of a job on the calm machine [s]: of so many rounds of so many runs the best one, or what ``pick`` says."""
    jobs: list[float] = []
    yards: list[float] = []

    def run() -> None:
        for _ in range(times):
            job()

    for _ in range(rounds):
        yards.append(processor_s(yardstick))
        jobs.append(processor_s(run))
    return pick(jobs) / times / max(1.0, pick(yards) / CALM_YARDSTICK_S)
