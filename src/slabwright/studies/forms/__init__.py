"""Do the forms hold?"""

from slabwright.studies.forms.study import STUDY, FormsResult

__all__ = ["STUDY", "FormsResult"]
