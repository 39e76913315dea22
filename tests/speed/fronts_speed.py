"""How the front solver's time compares with scipy's LSODA and BDF on the same cells, at equal error: python tests/speed/fronts_speed.py

Each solver gets a ladder of tolerances; the quickest run that errs no more than ours counts. All take turns in one loop, so that the
load of the machine falls on all alike: judge the ratios, not the milliseconds. Aim: 2.5 times LSODA, 15 times BDF.
"""
import sys
import time
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp
from scipy.sparse import diags

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from kitchenlib.fronts import Material, Surroundings, binding, body, content_at, march      # noqa: E402

LADDER = [3e-2, 1e-2, 3e-3, 1e-3, 3e-4, 1e-4]


class Lines:
    """Method of lines for one material: right-hand side and Jacobian as lean as numpy allows."""

    def __init__(self, ball, material):
        h, u, k = (np.asarray(column, float) for column in material)
        theta = np.append(0, np.cumsum((k[1:] + k[:-1]) / 2 * np.diff(u)))
        self.h, self.theta, self.slope, self.inner = h, theta, np.diff(theta) / np.diff(h), h[1:-1].copy()
        self.shift = theta[:-1] - self.slope * h[:-1]
        rise = np.append(True, np.diff(u) > 0)
        self.u, self.theta_u, self.k_u = u[rise], theta[rise], np.diff(theta[rise]) / np.diff(u[rise])
        half = np.diff(ball.edges) / 2
        self.pull, self.half, self.area, self.volume = ball.area[1:-1] / (half[1:] + half[:-1]), half[-1], ball.area[-1], ball.volume

    def around(self, potential, film):
        """Set the surroundings of the next stage."""
        self.film = film
        if film == np.inf:
            self.outer = np.interp(potential, self.u, self.theta_u)
        else:
            self.known, self.push = self.theta_u / self.half + film * self.u, film * potential

    def last_flow(self, theta):
        if self.film == np.inf:
            return self.area * (self.outer - theta) / self.half, self.area / self.half
        if self.film == 0:
            return 0.0, 0.0
        v = np.interp(theta / self.half + self.push, self.known, self.u)
        k = self.k_u[min(int(self.u[1:-1].searchsorted(v)), len(self.k_u) - 1)]
        return self.push * self.area - self.film * self.area * v, self.film * self.area / (k + self.film * self.half)

    def rate(self, time, x):
        piece = self.inner.searchsorted(x)
        theta = self.shift.take(piece) + self.slope.take(piece) * x
        flow = self.pull * np.diff(theta)
        out = np.empty_like(x)
        out[:-1] = flow
        out[-1] = self.last_flow(theta[-1])[0]
        out[1:] -= flow
        return out / self.volume

    def jacobian(self, time, x):
        piece = self.inner.searchsorted(x)
        slope = self.slope.take(piece)
        last = self.last_flow(self.shift[piece[-1]] + slope[-1] * x[-1])[1]
        main = np.append(self.pull, last)
        main[1:] += self.pull
        return diags([self.pull * slope[:-1] / self.volume[1:], -main * slope / self.volume, self.pull * slope[1:] / self.volume[:-1]],
                     [-1, 0, 1], format="csc")

    def run(self, start, stages, method, rtol, scale):
        x, ends = start, []
        how = {"lband": 1, "uband": 1} if method == "LSODA" else {"jac": self.jacobian}
        for duration, potential, film in stages:
            self.around(potential, film)
            x = solve_ivp(self.rate, (0, duration), x, method, t_eval=[duration], rtol=rtol, atol=rtol * scale, **how).y[:, -1]
            ends.append(x)
        return np.array(ends)


def food(water, start, unfrozen, frozen, k_unfrozen, k_frozen, density):
    """Ice = water (1 - start / t), properties in proportion (the rule of the tests)."""
    t = -np.geomspace(200, -start, 200)
    phi = 1 - start / t
    h = density * (frozen * (t - start) + (unfrozen - frozen) * start * np.log(t / start) - 333.6e3 * water * phi)
    k = k_unfrozen + (k_frozen - k_unfrozen) * phi
    return Material(np.append(h, density * unfrozen * (40 - start)), np.append(t, 40.0), np.append(k, k_unfrozen))


GEL, BERRY, BEEF = binding(11.358, 0.7e-9), food(0.916, -0.8, 3940, 2000, 0.55, 2.0, 1000), food(0.71, -1.7, 3500, 1950, 0.49, 1.5, 1050)
CASES = {
    "bath, rinse, hold of a 4 mm pearl": (body("sphere", 2e-3), GEL, 0.0, [(60, 34.01, np.inf), (30, 0.0, np.inf), (3600, 0.0, 0)], 34.01),
    "bath of a 30 mm sphere": (body("sphere", 15e-3), GEL, 0.0, [(120, 34.01, np.inf)], 34.01),
    "25 mm berry, nitrogen, 110 s": (body("sphere", 12.5e-3), BERRY, content_at(BERRY, 10.0), [(110, -195.8, 150)], 3e8),
    "40 mm slab of beef, blast, 2 h": (body("slab", 0.02), BEEF, content_at(BEEF, 10.0), [(7200, -30.0, 40)], 3e8),
}


def compare(name, ball, material, start, stages, scale, accuracy, rounds=7):
    """Times (s) of ours and of each rival at its quickest that errs no more; error: flow through any face at the end of any stage."""
    lines, begin = Lines(ball, material), np.full(len(ball.volume), start)
    exact = lines.run(begin, stages, "LSODA", 1e-9, scale)
    gone = np.abs(np.cumsum((exact - begin) * ball.volume, axis=1)).max(axis=1)
    error = lambda ends: (np.abs(np.cumsum((ends - exact) * ball.volume, axis=1)).max(axis=1) / gone).max()
    mine = [(seconds, Surroundings(potential, film)) for seconds, potential, film in stages]

    def ours():
        run = march(ball, material, start, mine, accuracy=accuracy)
        return run.content[list(run.ends)]

    racers = {("ours", accuracy): ours}
    for method in ("LSODA", "BDF"):
        for rtol in LADDER:
            racers[method, rtol] = lambda method=method, rtol=rtol: lines.run(begin, stages, method, rtol, scale)
    errors = {key: error(race()) for key, race in racers.items()}
    chosen = [("ours", accuracy)]
    for method in ("LSODA", "BDF"):                             # the loosest that errs no more, and its neighbour, which may be quicker
        fit = [rtol for rtol in LADDER if errors[method, rtol] <= errors["ours", accuracy]]
        chosen += [(method, rtol) for rtol in fit[:2]]
    times = {key: np.inf for key in chosen}
    for _ in range(rounds):
        for key in chosen:
            clock = time.perf_counter()
            racers[key]()
            times[key] = min(times[key], time.perf_counter() - clock)
    base = times["ours", accuracy]
    words = f"{name}: ours {1e3 * base:.1f} ms, error {100 * errors['ours', accuracy]:.2f} %"
    for method in ("LSODA", "BDF"):
        quickest = min((times[key], key) for key in chosen if key[0] == method) if any(key[0] == method for key in chosen) else None
        words += f"; {method} " + (f"{quickest[0] / base:.1f} times (rtol {quickest[1][1]:g}, error {100 * errors[quickest[1]]:.2f} %)"
                                   if quickest else "never as exact")
    print(words, flush=True)


if __name__ == "__main__":
    for accuracy in (5e-3, 1e-3):
        print(f"accuracy {accuracy:g}")
        for case, rest in CASES.items():
            compare(case, *rest, accuracy)
