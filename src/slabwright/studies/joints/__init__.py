"""Where do we cut so that it cracks there?"""

from slabwright.studies.joints.study import STUDY, JointLine, JointsResult

__all__ = ["STUDY", "JointLine", "JointsResult"]
