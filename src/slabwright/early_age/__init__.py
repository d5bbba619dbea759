"""Concrete's first week as physics: a job's sections, its mix and the weather in; hours of temperature, set, strength, stress out.

Shared by the studies of pour window, set and saw, and curing. Formulas come from :mod:`slabwright.standards`, numerics from
:mod:`slabwright.solvers`; here they meet the job.
"""
