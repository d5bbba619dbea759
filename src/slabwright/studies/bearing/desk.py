"""What every part of this study has at hand."""

from dataclasses import dataclass

from slabwright.geometry.foundation import Foundation
from slabwright.geometry.takeoff import Volumes
from slabwright.model.job import Job
from slabwright.results.notes import Notes
from slabwright.studies.bearing.ground import Ground
from slabwright.studies.bearing.loads import LoadTable


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """The job, its shape, volumes and ground, the combinations of its edition, and the notes to write into."""

    job: Job
    foundation: Foundation
    volumes: Volumes
    ground: Ground
    table: LoadTable
    notes: Notes
