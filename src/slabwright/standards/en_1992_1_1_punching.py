"""EN 1992-1-1, 6.4: punching of a post through a pad, with enhancement near the post."""

from dataclasses import dataclass

from slabwright.reckon import published
from slabwright.results.working import Working
from slabwright.sources import Basis, Clause
from slabwright.standards.en_1992_1_1 import EN_1992_1_1, GAMMA_C, cylinder_mpa, shear_strength

PUNCHING = Clause(EN_1992_1_1, "6.4.4(2), expressions 6.48 to 6.50", Basis.MEMORY)
AT_THE_FACE = Clause(EN_1992_1_1, "6.4.5(3), expression 6.53", Basis.MEMORY)


@dataclass(frozen=True, slots=True)
class Punching:
    """Punching on one perimeter.

    Attributes
    ----------
    perimeter_m, area_m2 : float
        Length of the perimeter and area inside it. [m], [m²]
    stress_pa, strength_pa : float
        v_Ed, and v_Rd enhanced by 2d/a. [Pa]
    demand_n, capacity_n : float
        The same as forces on the perimeter. [N]
    """

    perimeter_m: float
    area_m2: float
    stress_pa: float
    strength_pa: float
    demand_n: float
    capacity_n: float


@published("punching-en", PUNCHING, validity="Pads without shear steel, post clear of the sides by the distance of the perimeter.")
def punching(
    *,
    strength_pa: float,
    post_x_m: float,
    post_y_m: float,
    depth_m: float,
    distance_m: float,
    width_m: float,
    steel_area_m2: float,
    load_n: float,
    pressure_pa: float,
    moment_nm: float | None = None,
    working: Working | None = None,
) -> Punching:
    """Punching on the perimeter at one distance from the post, up to twice the effective depth.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    post_x_m, post_y_m : float
        Loaded area. [m]
    depth_m : float
        Effective, average of both layers. [m]
    distance_m : float
        From the post's face to the perimeter, a. [m]
    width_m, steel_area_m2 : float
        Section of the pad and the steel across it, for the steel ratio. [m], [m²]
    load_n : float
        Design load of the post. [N]
    pressure_pa : float
        Net pressure inside the perimeter, which relieves. [Pa]
    moment_nm : float or None
        Moment that passes from the post into the pad. [N·m]

    Returns
    -------
    Punching
        [m], [m²], [Pa], [N]
    """
    working = working or Working()
    c_1, c_2, a, d = ((value * 1e3, "mm") for value in (post_x_m, post_y_m, distance_m, depth_m))
    perimeter = working.line("u = 2*(c_1 + c_2) + 2*pi*a", "mm", c_1=c_1, c_2=c_2, a=a)
    area = working.line("A_u = (c_1*c_2 + 2*(c_1 + c_2)*a + pi*a**2)/1e6", "m²", c_1=c_1, c_2=c_2, a=a)
    force = working.line("V_red = V_Ed - sigma*A_u", "kN", V_Ed=(load_n / 1e3, "kN"), sigma=(pressure_pa / 1e3, "kPa"), A_u=(area, "m²"))
    beta = 1.0
    if moment_nm is not None:
        # expression 6.51 with k = 0.6 of a square post and the plastic modulus of its perimeter
        modulus = working.line(
            "W = c_1**2/2 + c_1*c_2 + 2*c_2*a + 4*a**2 + pi*a*c_1", "mm²", c_1=c_1, c_2=c_2, a=a,
        )  # fmt: skip
        beta = working.line(
            "beta = 1 + 0.6*M_Ed*1000/max(V_red, 1e-9)*u/W", M_Ed=(moment_nm / 1e3, "kN·m"), V_red=(force, "kN"), u=(perimeter, "mm"),
            W=(modulus, "mm²"),
        )  # fmt: skip
    stress = working.line("v_Ed = beta*V_red*1000/(u*d)", "MPa", beta=beta, V_red=(force, "kN"), u=(perimeter, "mm"), d=d)
    plain = shear_strength(strength_pa=strength_pa, width_m=width_m, depth_m=depth_m, steel_area_m2=steel_area_m2, working=working)
    strength = working.line("v_R = v_Rd*max(1, 2*d/a)", "MPa", v_Rd=(plain.stress_pa / 1e6, "MPa"), d=d, a=a)
    per_newton = perimeter / 1e3 * depth_m * 1e6
    return Punching(perimeter / 1e3, area, stress * 1e6, strength * 1e6, stress * per_newton, strength * per_newton)


@published("punching-at-face-en", AT_THE_FACE)
def face_capacity_n(*, strength_pa: float, post_x_m: float, post_y_m: float, depth_m: float, working: Working | None = None) -> float:
    """Greatest punching load on the face of the post.

    Parameters
    ----------
    strength_pa : float
        Characteristic cylinder strength. [Pa]
    post_x_m, post_y_m : float
        Loaded area. [m]
    depth_m : float
        Effective. [m]

    Returns
    -------
    float
        [N]
    """
    working = working or Working()
    f_ck = (cylinder_mpa(strength_pa), "MPa")
    capacity = working.line(
        "V_max = 0.5*2*(c_1 + c_2)*d*0.6*(1 - f_ck/250)*f_ck/gamma_c/1000", "kN",
        c_1=(post_x_m * 1e3, "mm"), c_2=(post_y_m * 1e3, "mm"), d=(depth_m * 1e3, "mm"), f_ck=f_ck, gamma_c=GAMMA_C,
    )  # fmt: skip
    return capacity * 1e3
