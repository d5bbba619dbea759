"""Exact solutions that the plate solver is held against, each from its differential equation.

Symbols: E modulus, nu Poisson's ratio, h thickness, k spring per area (per length for beams), D bending stiffness,
S transverse shear stiffness, l = (D/k)**(1/4), lam = (k/(4 EI))**(1/4). Deflection down, tension at the bottom positive.
"""

import numpy as np
from scipy.integrate import quad
from scipy.special import bei, beip, ber, berp, j1, kei, keip, ker, kerp


def plate_stiffness(*, modulus, poisson, thickness):
    """D of a plate."""
    return modulus * thickness**3 / (12.0 * (1.0 - poisson**2))


def shear_stiffness(*, modulus, poisson, thickness):
    """S = 5/6 G h."""
    return 5.0 / 6.0 * modulus / (2.0 * (1.0 + poisson)) * thickness


def infinite_plate_patch(*, bending, spring, shear, poisson, force, side, x=0.0):
    """Reissner-Mindlin plate without end on springs, load on a square: w, M_x and M_y at (x, 0).

    Fourier: w = q (1 + D r^2/S) / d and psi = q / d with d = D r^4 + k (1 + D r^2/S), rotations being -grad psi.
    The integral over the angle is a mean over equidistant angles, that over the radius a midpoint sum.
    """
    angle = (np.arange(64) + 0.5) * np.pi / 128.0
    step = 0.03 / max(side, (bending / spring) ** 0.25, x)
    radius = (np.arange(int(300.0 / side / step)) + 0.5) * step
    d = bending * radius**4 + spring * (1.0 + bending * radius**2 / shear)
    found = np.zeros(3)
    for one in angle:
        c, s = np.cos(one), np.sin(one)
        load = force * np.sinc(radius * c * side / 2 / np.pi) * np.sinc(radius * s * side / 2 / np.pi) * np.cos(radius * c * x)
        psi = load / d
        found += (
            np.array(
                [
                    (psi * (1.0 + bending * radius**2 / shear) * radius).sum(),
                    (bending * (c * c + poisson * s * s) * psi * radius**3).sum(),
                    (bending * (s * s + poisson * c * c) * psi * radius**3).sum(),
                ]
            )
            * step
        )
    return found / (2.0 * np.pi * len(angle))


def infinite_plate_disc(*, bending, spring, force, radius):
    """Thin plate without end on springs, load on a disc: deflection at the centre (Hankel transform)."""
    length = (bending / spring) ** 0.25

    def integrand(t):
        return j1(t * radius / length) / (1.0 + t**4)

    return 2.0 * force / (2.0 * np.pi * radius * spring * length) * quad(integrand, 0.0, 60.0, limit=400)[0]


def free_beam_centre_load(*, stiffness, spring, length, force):
    """Hetényi's free beam of finite length with a force in the middle: w and M in the middle, w at the ends."""
    lam = (spring / (4.0 * stiffness)) ** 0.25
    a = lam * length
    below = np.sinh(a) + np.sin(a)
    middle = force * lam / (2.0 * spring) * (np.cosh(a) + np.cos(a) + 2.0) / below
    moment = force / (4.0 * lam) * (np.cosh(a) - np.cos(a)) / below
    end = 2.0 * force * lam / spring * np.cosh(a / 2) * np.cos(a / 2) / below
    return middle, moment, end


def timoshenko_beam_centre_load(*, stiffness, shear, spring, length, force, x=0.0):
    """The same with transverse shear: w and M at x from the middle, by matching the general solution of half a beam.

    Unknowns w and rotation psi (w' = shear strain - psi): EI psi'' = S (w' + psi), S (w'' + psi') = k w.
    """
    roots = np.roots([stiffness, 0.0, -stiffness * spring / shear, 0.0, spring]).astype(complex)

    def turn(root):
        return (spring / shear - root**2) / root

    half = length / 2.0
    rows, right = [], []
    rows.append([turn(root) for root in roots])
    right.append(0.0)
    rows.append([shear * (root + turn(root)) for root in roots])
    right.append(-force / 2.0)
    rows.append([stiffness * turn(root) * root * np.exp(root * half) for root in roots])
    right.append(0.0)
    rows.append([shear * (root + turn(root)) * np.exp(root * half) for root in roots])
    right.append(0.0)
    c = np.linalg.solve(np.array(rows), np.array(right))
    shape = np.array([np.exp(root * x) for root in roots])
    moment = sum(stiffness * turn(root) * root * value for root, value in zip(roots, c * shape, strict=True))
    return float((c * shape).sum().real), float(moment.real)


def joint_efficiency(*, stiffness, poisson, half_load):
    """Two half planes joined by a shear spring, load on the edge of one: deflection of the other edge over its own.

    Kirchhoff plates, Fourier along the edge in units of the relative stiffness; ``stiffness`` is q / (k l). A half plane
    decays as exp(-b x) with b^2 = a^2 +- i; M = 0 at the edge, and V = -D (d^3w/dx^3 - (2 - nu) a^2 dw/dx) is its force.
    Loads on both edges leave the spring at rest; equal and opposite ones stretch it twice.
    """
    alpha = (np.arange(400_000) + 0.5) * 2e-4
    roots = [np.sqrt(alpha**2 + sign * 1j) for sign in (1, -1)]
    ratio = -(roots[0] ** 2 - poisson * alpha**2) / (roots[1] ** 2 - poisson * alpha**2)
    force = sum((-(root**3) + (2.0 - poisson) * alpha**2 * root) * part for root, part in zip(roots, (1.0, ratio), strict=True))
    edge = np.abs((force / (1.0 + ratio)).real)
    load = np.sinc(alpha * half_load / np.pi)
    alike, opposed = (load / edge).sum(), (load / (edge + 2.0 * stiffness)).sum()
    return float((alike - opposed) / (alike + opposed))


def weightless_beam_lifting(*, stiffness, spring, force):
    """Weightless beam without end under one force: it lifts off at lam x = pi/2; w and M under the force, half contact.

    Inside the contact it is a free beam of length pi/lam whose ends just touch.
    """
    lam = (spring / (4.0 * stiffness)) ** 0.25
    middle, moment, end = free_beam_centre_load(stiffness=stiffness, spring=spring, length=np.pi / lam, force=force)
    assert abs(end) < 1e-12 * middle
    return middle, moment, np.pi / (2.0 * lam)


def heavy_beam_pulled_up(*, stiffness, spring, weight, half_lifted):
    """Heavy beam without end pulled up at x = 0: the force that lifts it over 2a, and the deflection there.

    Lifted part: EI w'''' = weight; beyond, w = weight/k + e^(-lam s)(A cos lam s + B sin lam s), s = x - a; w(a) = 0,
    symmetric about 0; the rest is continuity of w', w'', w'''.
    """
    lam, a = (spring / (4.0 * stiffness)) ** 0.25, half_lifted
    big_a = -weight / spring
    # unknowns: c0, c2, c3 of w = c0 + c2 x^2 + c3 x^3 + q x^4 / 24 EI, and B
    q = weight / (24.0 * stiffness)
    rows = np.array(
        [
            [1.0, a**2, a**3, 0.0],
            [0.0, 2 * a, 3 * a**2, -lam],
            [0.0, 2.0, 6 * a, 2 * lam**2],
            [0.0, 0.0, 6.0, -2 * lam**3],
        ]
    )
    right = np.array([-q * a**4, -lam * big_a - 4 * q * a**3, -12 * q * a**2, 2 * lam**3 * big_a - 24 * q * a])
    c0, _, c3, _ = np.linalg.solve(rows, right)
    return -2.0 * stiffness * 6.0 * c3, c0


def warping_coefficient(length_over_l):
    """Westergaard's stress coefficient of a bonded strip under a linear gradient."""
    x = length_over_l / np.sqrt(8.0)
    return 1.0 - 2.0 * np.cos(x) * np.cosh(x) * (np.tan(x) + np.tanh(x)) / (np.sin(2 * x) + np.sinh(2 * x))


def disc_plate(*, bending, spring, poisson, radius, force, load_radius, r):
    """Free thin circular plate on springs, load on a central disc: deflection at r.

    Kelvin functions: w = q/k + A ber + B bei inside the load, C ber + D bei + E ker + F kei outside; w, w', M and Q
    continuous at its rim, M = Q = 0 at the plate's.
    """
    length = (bending / spring) ** 0.25
    load = force / (np.pi * load_radius**2)

    def rows(r):
        x = r / length
        value = np.array([ber(x), bei(x), ker(x), kei(x)])
        slope = np.array([berp(x), beip(x), kerp(x), keip(x)])
        laplace = np.array([-bei(x), ber(x), -kei(x), ker(x)])
        change = np.array([-beip(x), berp(x), -keip(x), kerp(x)])
        return value, slope, laplace - (1.0 - poisson) * slope / x, change

    inner, outer = rows(load_radius), rows(radius)
    matrix = np.zeros((6, 6))
    for k in range(4):
        matrix[k, :2], matrix[k, 2:] = inner[k][:2], -inner[k]
    matrix[4, 2:], matrix[5, 2:] = outer[2], outer[3]
    c = np.linalg.solve(matrix, [-load / spring, 0.0, 0.0, 0.0, 0.0, 0.0])
    if r < load_radius:
        x = r / length
        return float(load / spring + c[0] * ber(x) + c[1] * bei(x))
    return float(c[2:] @ rows(r)[0])


def kelvin_point_load(*, bending, spring, force, r):
    """Deflection of the thin plate without end at r from a point load: (P l^2 / 2 pi D) * (-kei(r/l))."""
    length = (bending / spring) ** 0.25
    return -force * length**2 / (2.0 * np.pi * bending) * kei(r / length)
