"""A pour day by itself: six trucks, twenty loads, and how often the crew waits half an hour.

One truck more than the cycle divided by the unloading time keeps the placing point busy; the same loop without scatter shows it.
"""

from slabwright.solvers.haul_loop import Duration, HaulLoop, Law, evenly

fixed = {"law": Law.FIXED}
calm = HaulLoop(
    n_carriers=7,
    amounts=(8.0,) * 20,
    release=evenly(20, 0.0, 0.25),
    fill_h=Duration(0.12, **fixed),
    out_h=Duration(0.60, **fixed),
    back_h=Duration(0.60, **fixed),
    clean_h=Duration(0.13, **fixed),
    pace_h=Duration(1 / 32, **fixed),
)
assert abs(calm.simulate(1).finish[0] - (0.12 + 0.60 + 20 * 0.25)) < 1e-9  # unloading without a gap, from statics of the timetable

rough = HaulLoop(
    n_carriers=7,
    amounts=calm.amounts,
    release=calm.release,
    fill_h=Duration(0.12, 0.25),
    out_h=Duration(0.60, 0.15),
    back_h=Duration(0.60, 0.15),
    clean_h=Duration(0.13, **fixed),
    pace_h=Duration(1 / 32, 0.20),
    setback_chance=0.03,
    setback_h=(0.4, 1.0),
)
days = rough.simulate(10_000)
print(f"done in {days.finish.mean():.2f} h; a hole over half an hour on {100 * (days.gap.max(axis=1) > 0.5).mean():.0f} days in 100")
