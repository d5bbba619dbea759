"""The march of many chains of nodes through time, compiled; used through :mod:`slabwright.solvers.heat`.

Stepping is the two-stage, second-order, L-stable singly diagonal Runge-Kutta method with gamma = 1 - sqrt(2)/2, applied to
enthalpy less the heat of reaction. Whatever the step, heat of reaction then equals its full value times the change of the
degree, and nothing is lost where no heat flows. Steps end where a cover comes on or off, also when that moment is set by the
degree of reaction and known only on arrival. All compiled code stands in this one file because the compiler's cache looks at
no other.
"""

import math

import numpy as np
from numba import njit

from slabwright.solvers.heat.data import (
    Chain,
    Channel,
    Floats,
    Flows,
    Kind,
    Matter,
    Meeting,
    Members,
    Outside,
    Part,
    Phases,
    Records,
    State,
)

KELVIN = 273.15
STEFAN_BOLTZMANN_W_M2K4 = 5.670374419e-8
LATENT_HEAT_J_KG = 2.45e6
TOLERANCE_K = 5e-6
CURVATURE_1_K = 0.05
MOST_ITERATIONS = 40
GAMMA = 1.0 - math.sqrt(0.5)
CARRY = (1.0 - GAMMA) / GAMMA
ALMOST_S = 1e-6
EVENT_S = 1.0
_WATER, _RISING, _BLED, _LOST, _TOP, _VAPOUR, _BOTTOM, _SOURCED, _N_TALLY = range(9)


@njit(cache=True, nogil=True)
def saturation_pa(temp_c: float) -> float:
    """Vapour pressure over water, Magnus form with the WMO constants. [Pa]"""
    return 611.2 * math.exp(17.62 * temp_c / (243.12 + temp_c))


@njit(cache=True, nogil=True)
def clock_rate(temp_c: float, activation_k: float, reference_k: float) -> float:
    """Equivalent seconds that pass per second."""
    return math.exp(activation_k * (1.0 / reference_k - 1.0 / (temp_c + KELVIN)))


@njit(cache=True, nogil=True)
def degree_and_slope(age_s: float, ultimate: float, tau_s: float, beta: float) -> tuple[float, float]:
    """Degree of reaction at an equivalent age, and its rate per equivalent second."""
    if age_s <= 1.0:
        return 0.0, 0.0
    term = math.exp(beta * math.log(tau_s / age_s))
    degree = ultimate * math.exp(-term)
    return degree, degree * beta * term / age_s


@njit(cache=True, nogil=True)
def degree(matter: Matter, age_s: float) -> float:
    """Degree of reaction at an equivalent age."""
    return degree_and_slope(age_s, matter.ultimate, matter.tau_s, matter.beta)[0]


@njit(cache=True, nogil=True)
def enthalpy_of(matter: Matter, i: int, temp_c: float, age_s: float) -> float:
    """Sensible heat less heat of reaction of one node. [J/m²]"""
    if matter.reaction[i] > 0.0:
        return matter.capacity[i] * temp_c - matter.reaction[i] * degree(matter, age_s)
    return matter.capacity[i] * temp_c


@njit(cache=True, nogil=True)
def dry_loss(surface_c: float, meeting: Meeting) -> tuple[float, float]:
    """Heat leaving a surface to air and sky through a cover, and its derivative. [W/m², W/m²K]

    The outer face of the cover balances what comes through it against film, long wave and sun; without a cover the face is
    the surface itself.
    """
    sky4 = (meeting.sky_c + KELVIN) ** 4
    face, slope = surface_c, 0.0
    for _ in range(12):
        kelvin = face + KELVIN
        radiant = meeting.emissivity * STEFAN_BOLTZMANN_W_M2K4
        out = meeting.film * (face - meeting.air_c) + radiant * (kelvin**4 - sky4) - meeting.absorbed
        slope = meeting.film + 4.0 * radiant * kelvin**3
        if meeting.resistance <= 0.0:
            return out, slope
        move = ((surface_c - face) / meeting.resistance - out) / (1.0 / meeting.resistance + slope)
        face += move
        if abs(move) < 1e-9:
            break
    return (surface_c - face) / meeting.resistance, slope / (1.0 + meeting.resistance * slope)


@njit(cache=True, nogil=True)
def vapour_loss(surface_c: float, meeting: Meeting) -> tuple[float, float]:
    """Latent heat leaving a surface and its derivative; negative where dew forms. [W/m², W/m²K]"""
    if meeting.transfer == 0.0:
        return 0.0, 0.0
    pressure = saturation_pa(surface_c)
    factor = LATENT_HEAT_J_KG * meeting.transfer
    return factor * (pressure - meeting.vapour_pa), factor * pressure * 17.62 * 243.12 / (243.12 + surface_c) ** 2


@njit(cache=True, nogil=True)
def _react(
    matter: Matter, weight: float, age_rhs: Floats, temps: Floats, ages: Floats, heat: Floats, pace: Floats, heating: Floats
) -> None:
    """Ages and heat of reaction of every reacting node, and the slopes of both over temperature. [s, J/m², s/K, J/m²K]"""
    for i in range(matter.n_reacting):
        kelvin = temps[i] + KELVIN
        rate = math.exp(matter.activation_k * (1.0 / matter.reference_k - 1.0 / kelvin))
        ages[i] = age_rhs[i] + weight * rate
        reached, slope = degree_and_slope(ages[i], matter.ultimate, matter.tau_s, matter.beta)
        heat[i] = matter.reaction[i] * reached
        pace[i] = weight * rate * matter.activation_k / (kelvin * kelvin)
        heating[i] = matter.reaction[i] * slope * pace[i]


@njit(cache=True, nogil=True)
def _link(matter: Matter, heat: Floats, link: Floats) -> None:
    """Conductances at the degrees of reaction that these heats mean."""
    for i in range(link.shape[0]):
        link[i] = matter.conductance[i]
        if i < matter.n_reacting - 1 and matter.softening[i] > 0.0 and matter.ultimate > 0.0:
            share = 0.5 * (heat[i] / matter.reaction[i] + heat[i + 1] / matter.reaction[i + 1]) / matter.ultimate
            link[i] *= 1.0 - matter.softening[i] * share


@njit(cache=True, nogil=True)
def _substitute(upper: Floats, right: Floats, temps: Floats) -> float:
    """Back substitution: moves ``temps``, leaves the moves in ``right`` and returns the largest."""
    last = temps.shape[0] - 1
    temps[last] += right[last]
    largest = abs(right[last])
    for i in range(last - 1, -1, -1):
        right[i] -= upper[i] * right[i + 1]
        temps[i] += right[i]
        largest = max(largest, abs(right[i]))
    return largest


@njit(cache=True, nogil=True)
def _flows(
    matter: Matter, meeting: Meeting, weight: float, rhs: Floats, temps: Floats, enthalpy: Floats, link: Floats, top: float,
    vapour: float, iterations: int,
) -> Flows:  # fmt: skip
    """Heat through both ends; at a held end it is what its node's own balance lacks."""
    last, bottom = temps.shape[0] - 1, 0.0
    if meeting.top_kind == Kind.HELD:
        top = (enthalpy[0] - rhs[0]) / weight - link[0] * (temps[1] - temps[0]) - matter.source[0]
    if meeting.bottom_kind == Kind.HELD:
        bottom = (enthalpy[last] - rhs[last]) / weight - link[last - 1] * (temps[last - 1] - temps[last]) - matter.source[last]
    elif meeting.bottom_kind == Kind.EXCHANGE:
        bottom = meeting.foot_film * (meeting.foot_c - temps[last])
    return Flows(top, vapour, bottom, iterations)


@njit(cache=True, nogil=True)
def stage(
    matter: Matter, meeting: Meeting, weight: float, rhs: Floats, age_rhs: Floats, temps: Floats, ages: Floats, enthalpy: Floats,
    work: Floats,
) -> Flows:  # fmt: skip
    """Newton on one implicit stage: ``C T - Q alpha(age(T)) - weight * flow(T) = rhs``.

    ``temps`` enters as a guess and leaves as the answer; ``ages`` and ``enthalpy`` are filled; ``work`` is scratch (6, n).
    Conductances are those of the guess, which keeps the second order.
    """
    n, last = temps.shape[0], temps.shape[0] - 1
    upper, right, link, heat, pace, heating = work[0], work[1], work[2], work[3], work[4], work[5]
    top, vapour, iterations = 0.0, 0.0, -1
    for iteration in range(MOST_ITERATIONS):
        _react(matter, weight, age_rhs, temps, ages, heat, pace, heating)
        if iteration == 0:
            _link(matter, heat, link[:last])
        dry_slope, vapour_slope = 0.0, 0.0
        if meeting.top_kind == Kind.EXCHANGE:
            top, dry_slope = dry_loss(temps[0], meeting)
            vapour, vapour_slope = vapour_loss(temps[0], meeting)
        for i in range(n):
            flow, diagonal, lower, up = matter.source[i], matter.capacity[i], 0.0, 0.0
            residual = rhs[i] - matter.capacity[i] * temps[i]
            if i < matter.n_reacting:
                residual += heat[i]
                diagonal -= heating[i]
            if i > 0:
                lower = -weight * link[i - 1]
                flow += link[i - 1] * (temps[i - 1] - temps[i])
            if i < last:
                up = -weight * link[i]
                flow += link[i] * (temps[i + 1] - temps[i])
            if i == 0 and meeting.top_kind == Kind.EXCHANGE:
                flow -= top + vapour
                diagonal += weight * (dry_slope + vapour_slope)
            if i == last and meeting.bottom_kind == Kind.EXCHANGE:
                flow -= meeting.foot_film * (temps[i] - meeting.foot_c)
                diagonal += weight * meeting.foot_film
            diagonal -= lower + up
            residual += weight * flow
            if i == 0 and meeting.top_kind == Kind.HELD:
                diagonal, up, residual = 1.0, 0.0, meeting.air_c - temps[0]
            if i == last and meeting.bottom_kind == Kind.HELD:
                diagonal, lower, residual = 1.0, 0.0, meeting.foot_c - temps[i]
            if i > 0:
                diagonal -= lower * upper[i - 1]
                residual -= lower * right[i - 1]
            upper[i], right[i] = up / diagonal, residual / diagonal
        largest = _substitute(upper, right, temps)
        top += dry_slope * right[0]
        vapour += vapour_slope * right[0]
        if not largest < 1e5:
            break
        if CURVATURE_1_K * largest * largest < TOLERANCE_K:
            iterations = iteration + 1
            break
    for i in range(n):
        enthalpy[i] = matter.capacity[i] * temps[i]
        if i < matter.n_reacting:
            enthalpy[i] -= heat[i] + heating[i] * right[i]
            ages[i] += pace[i] * right[i]
    return _flows(matter, meeting, weight, rhs, temps, enthalpy, link, -top, -vapour, iterations)


@njit(cache=True, nogil=True)
def _copy(source: Floats, target: Floats) -> None:
    """Element by element: slices would compile their error messages too."""
    for i in range(target.shape[0]):
        target[i] = source[i]


@njit(cache=True, nogil=True)
def _at(table: Floats, row: int, place: float) -> float:
    last = table.shape[1] - 1
    if place <= 0.0:
        return float(table[row, 0])
    i = int(place)
    if i >= last:
        return float(table[row, last])
    part = place - i
    return float(table[row, i] * (1.0 - part) + table[row, i + 1] * part)


@njit(cache=True, nogil=True)
def _meet(outside: Outside, members: Members, b: int, time_s: float, phases: Phases, phase: int, water: float, surface_c: float) -> Meeting:
    """What member ``b`` meets at a moment, with its surface as wet as ``water`` leaves it."""
    row, place = members.table[b], (members.start_s[b] + time_s) / outside.step_s
    transfer, vapour_pa = _at(outside.transfer, row, place), _at(outside.vapour_pa, row, place)
    if transfer > 0.0 and saturation_pa(surface_c) > vapour_pa:
        transfer *= phases.wetness[phase]
        if water < 0.0:
            transfer *= math.exp(water / members.skin_kg_m2[b])
    elif phases.resistance[phase] > 0.0:
        transfer = 0.0
    return Meeting(
        _at(outside.air_c, row, place),
        _at(outside.film, row, place),
        _at(outside.sky_c, row, place),
        phases.absorptivity[phase] * members.sun[b] * _at(outside.sun, row, place),
        phases.emissivity[phase],
        phases.resistance[phase],
        transfer,
        vapour_pa,
        _at(outside.foot_c, row, place),
        _at(outside.foot_film, row, place),
        outside.top_kind,
        outside.bottom_kind,
    )


@njit(cache=True, nogil=True)
def _stride(
    matter: Matter, outside: Outside, members: Members, b: int, phases: Phases, phase: int, time_s: float, h: float,
    now: State, half: State, new: State, work: Floats,
) -> bool:  # fmt: skip
    """One step of ``h`` seconds from ``now`` into ``new``; False when a stage did not converge."""
    n, weight, tally = now.temps.shape[0], GAMMA * h, now.tally
    rhs, age_rhs = work[6], work[7]
    _copy(now.enthalpy, rhs)
    _copy(now.ages, age_rhs)
    reached, surface_c, bleed = weight, now.temps[0], 0.0
    water = tally[_WATER] + weight * tally[_RISING]
    one = Flows(0.0, 0.0, 0.0, 0)
    for i in range(n):
        half.temps[i] = now.temps[i] + weight * now.trend[i]
    for number in range(2):
        aim = half if number == 0 else new
        meeting = _meet(outside, members, b, time_s + reached, phases, phase, water, surface_c)
        flows = stage(matter, meeting, weight, rhs, age_rhs, aim.temps, aim.ages, aim.enthalpy, work)
        if flows.iterations < 0:
            return False
        if number == 1:
            _count(tally, new.tally, one, flows, bleed, h, matter.source.sum())
            for i in range(n):
                new.trend[i] = (new.temps[i] - half.temps[i]) / (h - weight)
            break
        one = flows
        bleed_left = members.bleed_total_kg_m2[b] - tally[_BLED]
        if bleed_left > 0.0 and degree(matter, half.ages[matter.middle]) < members.bleed_end[b]:
            bleed = min(members.bleed_kg_m2_s[b], bleed_left / h)
        for i in range(n):
            rhs[i] = now.enthalpy[i] + CARRY * (half.enthalpy[i] - now.enthalpy[i])
            age_rhs[i] = now.ages[i] + CARRY * (half.ages[i] - now.ages[i])
            new.temps[i] = half.temps[i] + (h - weight) / weight * (half.temps[i] - now.temps[i])
        reached, surface_c = h, half.temps[0]
        water = tally[_WATER] + h * (bleed + one.vapour / LATENT_HEAT_J_KG)
    return True


@njit(cache=True, nogil=True)
def _count(tally: Floats, counted: Floats, one: Flows, two: Flows, bleed: float, h: float, source: float) -> None:
    """Add a step's heat and water to the running sums."""
    a, b = (1.0 - GAMMA) * h, GAMMA * h
    vapour = a * one.vapour + b * two.vapour
    counted[_WATER] = tally[_WATER] + h * bleed + vapour / LATENT_HEAT_J_KG
    counted[_RISING] = bleed + two.vapour / LATENT_HEAT_J_KG
    counted[_BLED] = tally[_BLED] + h * bleed
    counted[_LOST] = tally[_LOST] - vapour / LATENT_HEAT_J_KG
    counted[_TOP] = tally[_TOP] + a * one.top + b * two.top
    counted[_VAPOUR] = tally[_VAPOUR] + vapour
    counted[_BOTTOM] = tally[_BOTTOM] + a * one.bottom + b * two.bottom
    counted[_SOURCED] = tally[_SOURCED] + h * source


@njit(cache=True, nogil=True)
def _part_until(matter: Matter, now: State, new: State, h: float, wanted_degree: float) -> float:
    """Part of a step at which the middle reaches a degree: bisection on the cubic through both ends' ages and rates."""
    wanted = matter.tau_s / math.exp(math.log(-math.log(wanted_degree / matter.ultimate)) / matter.beta)
    age, age_then = now.ages[matter.middle], new.ages[matter.middle]
    rate = h * clock_rate(now.temps[matter.middle], matter.activation_k, matter.reference_k)
    rate_then = h * clock_rate(new.temps[matter.middle], matter.activation_k, matter.reference_k)
    low, high = 0.0, 1.0
    for _ in range(40):
        u = 0.5 * (low + high)
        v = 1.0 - u
        if (1.0 + 2.0 * u) * v * v * age + u * v * v * rate + u * u * (3.0 - 2.0 * u) * age_then - u * u * v * rate_then < wanted:
            low = u
        else:
            high = u
    return 0.5 * (low + high)


@njit(cache=True, nogil=True)
def _record(chain: Chain, state: State, n_reacting: int, row: Floats) -> None:
    """Reduce a body to its channels: temperatures, their mean and linear part over the reacting depth, ages, water."""
    temps, ages = state.temps, state.ages
    row[Channel.TOP], row[Channel.MIDDLE], row[Channel.BOTTOM] = temps[0], temps[chain.middle], temps[max(n_reacting, 1) - 1]
    row[Channel.WATER], row[Channel.LOST] = state.tally[_WATER], state.tally[_LOST]
    if n_reacting < 2:
        return
    row[Channel.AGE_TOP], row[Channel.AGE_MIDDLE], row[Channel.AGE_BOTTOM] = ages[0], ages[chain.middle], ages[n_reacting - 1]
    total = chain.width.sum()
    centre, mean = 0.0, 0.0
    for i in range(n_reacting):
        centre += chain.width[i] * chain.depth[i] / total
        mean += chain.width[i] * temps[i] / total
    lever, second = 0.0, 0.0
    for i in range(n_reacting):
        arm = centre - chain.depth[i]
        second += chain.width[i] * arm * arm
        lever += chain.width[i] * arm * (temps[i] - mean)
    row[Channel.MEAN], row[Channel.LINEAR] = mean, lever / second * centre


@njit(cache=True, nogil=True)
def _begin(matter: Matter, outside: Outside, members: Members, b: int, start_c: Floats, state: State) -> float:
    """Set a member's first state; returns its sensible heat. [J/m²]"""
    n, place = start_c.shape[0], members.start_s[b] / outside.step_s
    _copy(start_c, state.temps)
    if outside.top_kind == Kind.HELD:
        state.temps[0] = _at(outside.air_c, members.table[b], place)
    if outside.bottom_kind == Kind.HELD:
        state.temps[n - 1] = _at(outside.foot_c, members.table[b], place)
    for part in range(_N_TALLY):
        state.tally[part] = 0.0
    sensible = 0.0
    for i in range(n):
        state.trend[i] = 0.0
        state.ages[i] = members.age_s[b]
        state.enthalpy[i] = enthalpy_of(matter, i, state.temps[i], state.ages[i])
        sensible += matter.capacity[i] * state.temps[i]
    return sensible


@njit(cache=True, nogil=True)
def _close(matter: Matter, state: State, sensible: float, first_age_s: float, parts: Floats) -> None:
    """Write the parts of a member's energy balance, each positive into the body."""
    parts[Part.STORED], parts[Part.REACTED] = -sensible, 0.0
    for i in range(state.temps.shape[0]):
        parts[Part.STORED] += matter.capacity[i] * state.temps[i]
        if matter.reaction[i] > 0.0:
            parts[Part.REACTED] += matter.reaction[i] * (degree(matter, state.ages[i]) - degree(matter, first_age_s))
    parts[Part.SOURCED], parts[Part.THROUGH_TOP] = state.tally[_SOURCED], state.tally[_TOP]
    parts[Part.EVAPORATED], parts[Part.THROUGH_BOTTOM] = state.tally[_VAPOUR], state.tally[_BOTTOM]


@njit(cache=True, nogil=True)
def _new_state(n: int) -> State:
    return State(np.empty(n), np.zeros(n), np.zeros(n), np.empty(n), np.zeros(_N_TALLY))


@njit(cache=True, nogil=True)
def _keep(state: State, new: State) -> None:
    _copy(new.temps, state.temps)
    _copy(new.trend, state.trend)
    _copy(new.ages, state.ages)
    _copy(new.enthalpy, state.enthalpy)
    _copy(new.tally, state.tally)


@njit(cache=True, nogil=True)
def march(
    chain: Chain, members: Members, outside: Outside, phases: Phases, n_steps: int, step_s: float, every: int, first: int, last: int,
    records: Records,
) -> int:  # fmt: skip
    """Carry members ``first`` to ``last`` (excluded) through ``n_steps`` steps; every ``every`` steps is recorded.

    Returns -1, or the member whose stage did not converge.
    """
    n, n_reacting, n_phases = chain.capacity.shape[1], chain.width.shape[0], phases.resistance.shape[0]
    now, half, new, work = _new_state(n), _new_state(n), _new_state(n), np.zeros((8, n))
    for b in range(first, last):
        r = b if chain.capacity.shape[0] > 1 else 0
        matter = Matter(
            chain.capacity[r], chain.conductance[r], chain.softening, chain.reaction[r], chain.source[r], n_reacting, chain.middle,
            members.ultimate[b], members.tau_s[b], members.beta[b], members.activation_k[b], members.reference_k[b],
        )  # fmt: skip
        sensible = _begin(matter, outside, members, b, chain.start_c[b if chain.start_c.shape[0] > 1 else 0], now)
        phase, forced, time_s = 0, False, 0.0
        records.switched_s[b, 0] = 0.0
        _record(chain, now, n_reacting, records.channels[b, 0])
        if records.field.shape[0] > 0:
            _copy(now.temps, records.field[b, 0])
        for k in range(n_steps):
            end_s = (k + 1) * step_s
            while end_s - time_s > ALMOST_S:
                while phase + 1 < n_phases and (forced or phases.start_s[b, phase + 1] <= time_s + ALMOST_S):
                    phase, forced = phase + 1, False
                    records.switched_s[b, phase] = time_s
                h = end_s - time_s
                if phase + 1 < n_phases and phases.start_s[b, phase + 1] < end_s - ALMOST_S:
                    h = phases.start_s[b, phase + 1] - time_s
                whole = False
                while not whole:
                    if not _stride(matter, outside, members, b, phases, phase, time_s, h, now, half, new, work):
                        return b
                    whole = forced or phase + 1 >= n_phases or degree(matter, new.ages[matter.middle]) <= phases.degree[phase + 1]
                    if not whole:
                        forced = True
                        part = _part_until(matter, now, new, h, phases.degree[phase + 1])
                        whole = h * (1.0 - part) < EVENT_S
                        if not whole:
                            h = max(h * part, EVENT_S)
                _keep(now, new)
                time_s += h
            time_s = end_s
            if (k + 1) % every == 0:
                _record(chain, now, n_reacting, records.channels[b, (k + 1) // every])
                if records.field.shape[0] > 0:
                    _copy(now.temps, records.field[b, (k + 1) // every])
        _close(matter, now, sensible, members.age_s[b], records.balance[b])
    return -1
