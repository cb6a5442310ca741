#!/usr/bin/env python3
"""Choosing places for cups with numpy and cvxpy, timed on what `cargo bench -p mechanics --bench choice beside` times; run by hand.

    python3 -m venv peers && peers/bin/pip install numpy cvxpy clarabel
    peers/bin/python tests/peers/placement.py

120 places 60 mm apart, 6 cups, 5 loads. Timed are: the score of 2,000 sets by chance with each cup lost in turn (all sets in one
batch of 6 x 6 solves), and the bound of any six places as one cone programme. A lip is that of the reference cases in
`tests/independent/mechanics/placement.json`. Quote ratios of one session on one machine.
"""
import json, statistics, time
import numpy as np

G, MASS, CENTRE = 9.80665, 4.0, (25.0, -15.0)  # m/s2, kg, mm
RADIUS, FORCE, FRICTION, SHARE = 20.0, 0.06 * np.pi * 400.0, 0.5, 0.9  # mm, N
AXIAL, LATERAL = 20.0, 12.0  # N/mm
STIFF = np.array([LATERAL, LATERAL, AXIAL, AXIAL * RADIUS**2 / 2, AXIAL * RADIUS**2 / 2, LATERAL * RADIUS**2])
AT = np.array([[i % 12 * 60.0 - 330.0, i // 12 * 60.0 - 270.0] for i in range(120)])
CUPS, SETS, REQUIRED, LEFT = 6, 2000, 2.0, 1.0


def loads():
    """Lift at 2 m/s2 and carry at 3 m/s2 four ways, about the origin."""
    out = []
    for ax, ay, az in ((0, 0, 2), (3, 0, 0), (-3, 0, 0), (0, 3, 0), (0, -3, 0)):
        f = -MASS * np.array([ax, ay, G + az])
        out.append([*f, CENTRE[1] * f[2], -CENTRE[0] * f[2], CENTRE[0] * f[1] - CENTRE[1] * f[0]])
    return np.array(out).T


def by_chance():
    state, out = 1, []
    while len(out) < SETS:
        one = []
        while len(one) < CUPS:
            state = (state * 6364136223846793005 + 1442695040888963407) % 2**64
            place = (state >> 33) % len(AT)
            if place not in one:
                one.append(place)
        out.append(one)
    return np.array(out)


def factors(sets, wrenches):
    """Least factor of each set over its cups, by load."""
    x, y = AT[sets, 0], AT[sets, 1]
    t = np.zeros((*sets.shape, 6, 6))
    t[..., range(6), range(6)] = 1.0
    t[..., 0, 5], t[..., 1, 5], t[..., 2, 3], t[..., 2, 4] = -y, x, y, -x
    k = np.einsum("scia,i,scib->sab", t, STIFF, t)
    own = np.einsum("i,scia,sal->scil", -STIFF, t, np.linalg.solve(k, np.broadcast_to(wrenches, (len(sets), 6, 5))))
    pull, slide = own[:, :, 2], np.hypot(own[:, :, 0], own[:, :, 1])
    tilt, twist = np.hypot(own[:, :, 3], own[:, :, 4]), own[:, :, 5]
    demand = pull + np.maximum(2 * tilt / RADIUS, np.hypot(slide, twist / RADIUS) / (SHARE * FRICTION))
    with np.errstate(divide="ignore"):
        return np.where(demand > 0, FORCE / demand, np.inf).min(axis=(1, 2))


def scores(sets, wrenches):
    score = factors(sets, wrenches) / REQUIRED
    for lost in range(CUPS):
        score = np.minimum(score, factors(np.delete(sets, lost, axis=1), wrenches) / LEFT)
    return score


def bound(wrenches):
    import cvxpy as cp
    n, m = len(AT), wrenches.shape[1]
    take, times = cp.Variable(n), cp.Variable()
    say = [take >= 0, take <= 1, cp.sum(take) <= CUPS]
    for load in range(m):
        f, mo = cp.Variable((n, 3)), cp.Variable((n, 3))
        left = FORCE * take - f[:, 2]
        x, y = AT[:, 0], AT[:, 1]
        say += [
            cp.sum(f, axis=0) + times * REQUIRED * wrenches[:3, load] == 0,
            cp.sum(mo[:, 0]) + y @ f[:, 2] + times * REQUIRED * wrenches[3, load] == 0,
            cp.sum(mo[:, 1]) - x @ f[:, 2] + times * REQUIRED * wrenches[4, load] == 0,
            cp.sum(mo[:, 2]) + x @ f[:, 1] - y @ f[:, 0] + times * REQUIRED * wrenches[5, load] == 0,
            cp.SOC(left * RADIUS / 2, mo[:, :2].T),
            cp.SOC(left * SHARE * FRICTION, cp.vstack([f[:, 0], f[:, 1], mo[:, 2] / RADIUS])),
        ]
    problem = cp.Problem(cp.Maximize(times), say)
    problem.solve(solver=cp.CLARABEL)
    return float(times.value), problem.status, problem.solver_stats.solve_time


def timed(what, f, n):
    out = []
    for _ in range(n):
        start = time.perf_counter()
        value = f()
        out.append(time.perf_counter() - start)
    print(json.dumps({"what": what, "seconds": statistics.median(out), "n": n, "value": value}), flush=True)


if __name__ == "__main__":
    sets, wrenches = by_chance(), loads()
    timed("2,000 sets with each cup lost, numpy: their mean score", lambda: float(scores(sets, wrenches).mean()), 5)
    timed("bound of six of 120 places, cvxpy with Clarabel: value, status, seconds in the solver", lambda: bound(wrenches), 3)
