"""The joint lines in the saw's window: when each may and must be cut, by how many saws, in what light."""

import math
from collections.abc import Sequence
from string import ascii_lowercase

import numpy as np

from slabwright.early_age.daylight import DARK_RAD
from slabwright.early_age.drivers import Drivers
from slabwright.early_age.sawing import Cut, Line, saws_needed
from slabwright.early_age.windows import CRACK_CHANCE, CRACK_LIMIT, RAVELLING, Saw, SawWindow
from slabwright.geometry.foundation import Foundation
from slabwright.model.supply import JointKind
from slabwright.model.weather import Weather
from slabwright.results.check import Ask, Check
from slabwright.results.lines import Task
from slabwright.results.notes import Notes
from slabwright.sources import practice
from slabwright.standards.osha_1926 import SILICA
from slabwright.standards.subgrade_drag import SAW_HOURS
from slabwright.studies.joints.study import JointLine
from slabwright.studies.set_and_saw.days import ZoneDays

PLACED_ALONG = practice("placing moves from one end of the floor to the other along its longer side")
PIECE_H = 1.0
"""A line whose concrete took longer to place than this is sawn in pieces, each when it is ready. [h]"""
SAWN = (JointKind.SAW, JointKind.EARLY_ENTRY)


def saw_of(kind: JointKind) -> Saw:
    """The saw that a kind of joint is cut with."""
    return Saw.EARLY_ENTRY if kind is JointKind.EARLY_ENTRY else Saw.CONVENTIONAL


def lines_in_window(
    joints: Sequence[JointLine], foundation: Foundation, placing_h: float, first: SawWindow, last: SawWindow
) -> tuple[Line, ...]:
    """Joint lines with the hours between which each may be cut, after the start of the pour.

    Parameters
    ----------
    joints : sequence of JointLine
        In the order of sawing.
    foundation : Foundation
    placing_h : float
        From the first concrete to the last. [h]
    first, last : SawWindow
        Of the concrete placed first and last; between them straight lines.
    """
    low_x, low_y, high_x, high_y = foundation.region.bounds
    along = 0 if high_x - low_x >= high_y - low_y else 1
    low, length = (low_x, high_x - low_x) if along == 0 else (low_y, high_y - low_y)
    opens, closes = (first.start_h or first.end_h, last.start_h or last.end_h), (first.end_h, last.end_h)
    found = []
    for joint in joints:
        old, young = sorted(float(np.clip((point[along] - low) / length, 0.0, 1.0)) for point in (joint.start, joint.end))
        n_pieces = max(1, math.ceil((young - old) * placing_h / PIECE_H))
        for piece in range(n_pieces):
            older, younger = (old + (young - old) * share / n_pieces for share in (piece, piece + 1))
            found.append(
                Line(
                    name=joint.name if n_pieces == 1 else f"{joint.name}{ascii_lowercase[piece % 26]}",
                    length_m=joint.length_m / n_pieces,
                    ready_h=younger * placing_h + opens[0] + younger * (opens[1] - opens[0]),
                    latest_h=older * placing_h + closes[0] + older * (closes[1] - closes[0]),
                )
            )
    return tuple(found)


def check_sawing(
    cuts: tuple[Cut, ...],
    days: Sequence[ZoneDays],
    saw: Saw,
    n_saws: int,
    speed_m_h: float,
    notes: Notes,
) -> None:
    """Hold every line against its window and the chance of a crack against its limit."""
    if not cuts:
        return
    worst = max(cuts, key=lambda cut: cut.end_h / cut.line.latest_h)
    needed = saws_needed([cut.line for cut in cuts], speed_m_h=speed_m_h)
    remedy = (
        f"{needed} saws get through in time." if needed is not None else "No number of saws does; an early-entry saw may, or a later start."
    )
    notes.checks.append(
        Check(
            key="saw.window",
            name="Hours from the start until a line is through, against the end of its window",
            where=f"joint {worst.line.name}",
            demand=worst.end_h,
            capacity=worst.line.latest_h,
            suffix="h",
            clause=RAVELLING,
            method=SAW_HOURS,
            governing=f"{saw.value}, {n_saws} of them",
            remedy=remedy,
        )
    )
    floor = days[0]
    at = float(np.interp(cuts[-1].end_h, floor.history.times_h, floor.windows[saw].chance))
    notes.at_most(
        "saw.crack", "Chance of an uncontrolled crack before the last cut", "floor, placed first", found=at, limit=CRACK_LIMIT, suffix="",
        clause=CRACK_CHANCE, remedy="Cut sooner, cure sooner, or let the floor cool more slowly under covers.",
    )  # fmt: skip
    late = [cut for cut in cuts if cut.late]
    if late:
        names = ", ".join(cut.line.name for cut in late)
        notes.ask(
            Ask.ENGINEER,
            f"{names} would be through only after the window; is an early-entry saw, another layout, or a crack there accepted?",
            "joints",
            CRACK_CHANCE,
        )


def saw_tasks(cuts: tuple[Cut, ...], saw: Saw, weather: Weather, drivers: Drivers, start_hour: float, n_saws: int, notes: Notes) -> None:
    """What the saw operator must do, and when."""
    if not cuts:
        return
    at = weather.at
    first, last = cuts[0], max(cuts, key=lambda cut: cut.end_h)
    notes.tasks.append(
        Task(
            what=f"Trial cut a foot long in {first.line.name}; wait half an hour if the edge ravels.",
            who="saw operator",
            when=f"{at(start_hour + first.start_h):%d %b %H:%M}",
            where=f"joint {first.line.name}",
        )
    )
    dark = [cut for cut in cuts if drivers.at("elevation_rad", start_hour + cut.end_h) < DARK_RAD]
    if dark:
        notes.tasks.append(
            Task(
                what=f"Lights along {', '.join(cut.line.name for cut in dark)}, and a second person with whoever saws in the dark.",
                who="crew lead",
                when=f"from {at(start_hour + dark[0].start_h):%d %b %H:%M}",
            )
        )
    notes.tasks.append(
        Task(
            what=f"Saw {', '.join(cut.line.name for cut in cuts)} in this order with {n_saws} {saw.value}{'s' if n_saws > 1 else ''}; "
            "write down hour, depth and ravelling of each.",
            who="saw operator",
            when=f"{at(start_hour + first.start_h):%d %b %H:%M} to {at(start_hour + last.end_h):%H:%M}",
        )
    )
    notes.caution(
        "Sawing makes silica dust: water on, or extraction, and a respirator where the local rule asks for one; the employer decides.",
        SILICA,
    )
    notes.caution("Saw slurry burns like wet concrete, and a blade binds in green concrete: guards on, nobody in line with it.")
