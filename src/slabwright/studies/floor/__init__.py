"""Will the floor carry its posts, walls, wheels and its own curling?"""

from slabwright.studies.floor.study import STUDY, FloorResult

__all__ = ["STUDY", "FloorResult"]
