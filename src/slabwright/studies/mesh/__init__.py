"""How do the sheets lie and what is cut?"""

from slabwright.studies.mesh.study import STUDY, MeshResult

__all__ = ["STUDY", "MeshResult"]
