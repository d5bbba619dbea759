"""The pour day: simulated days against an independent event simulator in the same run, the choice, and a re-plan."""

import math
import random
import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import simpy

from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.model.tickets import Ticket, Tickets
from slabwright.solvers.haul_loop import Duration, HaulLoop, Law, evenly
from slabwright.studies import placement, quantities, shape
from slabwright.studies.placement.live import replan
from slabwright.study import Inputs, run_studies

LOOP = HaulLoop(
    n_carriers=6, amounts=(8.0,) * 20, release=evenly(20, 0.0, 0.2), fill_h=Duration(0.12, 0.2), out_h=Duration(0.6, 0.15),
    back_h=Duration(0.6, 0.15), clean_h=Duration(0.13, law=Law.FIXED),
    pace_h=Duration(1 / 30, 0.2), setback_chance=0.03, setback_h=(0.4, 1.0),
)  # fmt: skip


def median(work: Callable[[], object], runs: int = 5) -> float:
    work()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def quickest(work: Callable[[], object], runs: int) -> tuple[float, float]:
    """Least wall time and least processor time of some runs: what the machine does when nothing else runs on it."""
    work()
    found = []
    for _ in range(runs):
        wall, processor = time.perf_counter(), time.process_time()
        work()
        found.append((time.perf_counter() - wall, time.process_time() - processor))
    return min(wall for wall, _ in found), min(processor for _, processor in found)


def simpy_days(n: int) -> None:
    """The same loop with the same scatter."""
    draw = random.Random(1)

    def drawn(mean: float, variation: float) -> float:
        sigma = math.sqrt(math.log1p(variation**2))
        return draw.lognormvariate(math.log(mean) - sigma**2 / 2, sigma)

    for _ in range(n):
        env = simpy.Environment()
        source, sink, home = simpy.Resource(env), simpy.Resource(env), simpy.Store(env)

        def carry(carrier, env=env, sink=sink, home=home):  # type: ignore[no-untyped-def]
            yield env.timeout(drawn(0.6, 0.15) + (draw.uniform(0.4, 1.0) if draw.random() < 0.03 else 0.0))
            with sink.request() as turn:
                yield turn
                yield env.timeout(8 * drawn(1 / 30, 0.2))
            yield env.timeout(0.13 + drawn(0.6, 0.15))
            yield home.put(carrier)

        def dispatch(env=env, source=source, home=home, carry=carry):  # type: ignore[no-untyped-def]
            for number in range(6):
                yield home.put(number)
            for release in LOOP.release:
                carrier = yield home.get()
                yield env.timeout(max(0.0, release - env.now))
                with source.request() as turn:
                    yield turn
                    yield env.timeout(drawn(0.12, 0.2))
                env.process(carry(carrier))

        env.process(dispatch())
        env.run()


def main() -> None:
    ours, ours_processor = quickest(lambda: LOOP.simulate(100_000), 9)
    theirs, theirs_processor = quickest(lambda: simpy_days(100), 5)
    wall, processor = 1000 * theirs / ours, 1000 * theirs_processor / ours_processor
    print(f"100,000 days of 20 loads       {ours:6.2f} s; an event simulator takes {wall:.0f} times as long a day")
    print(f"                               {ours_processor:6.2f} s of processor time; {processor:.0f} times as much")
    job = parse_job(example_text("shelter"), "shelter").job
    studies = (shape.STUDY, quantities.STUDY, placement.STUDY)
    plan = run_studies(studies, Inputs(job=job))
    chosen = median(lambda: run_studies(studies, Inputs(job=job)), 3)
    print(f"shape, order and choice        {chosen:6.2f} s")
    start = datetime(2026, 4, 14, 5, 0, tzinfo=UTC)
    loads = tuple(
        Ticket(name=str(i), batched=start + timedelta(minutes=15 * i), started=start + timedelta(minutes=15 * i + 45),
               ended=start + timedelta(minutes=15 * i + 59), volume_m3=6.9)
        for i in range(20)
    )  # fmt: skip
    result = plan[placement.STUDY]
    print(f"re-plan after a ticket         {median(lambda: replan(result, Tickets(loads=loads), start + timedelta(hours=4))):6.4f} s")


if __name__ == "__main__":
    main()
