"""Printed US units in the tests of standards: factors and shorthand."""

import pytest

from slabwright.units import FOOT_M, INCH_M, KIP_N, PCI_PA_M, POUND_FORCE_N, PSF_PA, PSI_PA

IN, IN2, FT, LB, KIP, PSI, PSF, PCI = INCH_M, INCH_M**2, FOOT_M, POUND_FORCE_N, KIP_N, PSI_PA, PSF_PA, PCI_PA_M
KSF, KIP_FT, LB_IN = 1000 * PSF_PA, KIP_N * FOOT_M, POUND_FORCE_N * INCH_M


def close(printed, rel=1e-3):
    """A printed value, within its stated relative tolerance."""
    return pytest.approx(printed, rel=rel)
