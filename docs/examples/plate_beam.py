"""A beam of finite length on springs with a force in its middle: the classical solution in ten lines.

Hetényi, Beams on Elastic Foundation, 1946 (from memory): y = P lam / 2k (cosh lam L + cos lam L + 2) / (sinh lam L + sin lam L)
under the force, with lam⁴ = k / 4EI. The strip is narrow, has no Poisson effect and is thin enough for shear not to count.
"""

from math import cos, cosh, sin, sinh

from slabwright.solvers.plate import LineLoad, Plate, solve

length, width, force, spring, modulus, thickness = 4.0, 0.3, 1000.0, 5e5, 30e9, 0.05
outline = [(0, 0), (length, 0), (length, width), (0, width)]
strip = Plate(outline=outline, thickness=thickness, modulus=modulus, poisson=0.0, spring=spring)
answer = solve(strip, [LineLoad(line=[(length / 2, 0), (length / 2, width)], force=force / width)], bonded=True)
found = answer.deflection([(length / 2, width / 2)])[0]

k, lam = spring * width, (3 * spring / (modulus * thickness**3)) ** 0.25
phi = lam * length
expected = force * lam / (2 * k) * (cosh(phi) + cos(phi) + 2) / (sinh(phi) + sin(phi))
print(f"under the force: {1e3 * found:.4f} mm, by the book {1e3 * expected:.4f} mm")
assert abs(found / expected - 1) < 2e-3
