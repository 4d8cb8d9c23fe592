# Solves the two stiff problems of independent_test.go with scipy's implicit
# methods, from the equations alone. Reads one job as JSON, writes what it found.
import json
import sys
import time

import numpy
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar
from scipy.sparse import lil_matrix

R = 8.314462618
job = json.load(sys.stdin)
law = job["law"]


def rate(temp, degree):
    """Autocatalytic epoxy with amine, slowed as its glass transition passes it."""
    x = numpy.clip(degree, 0.0, 1.0)
    speed = law["K2"] * numpy.exp(-law["E"] / R * (1 / temp - 1 / law["at"]))
    out = speed * (law["r0"] + x) * (1 - x) ** 2
    if law["width"]:
        glass = law["tg0"] + (law["tg1"] - law["tg0"]) * law["lam"] * x / (1 - (1 - law["lam"]) * x)
        out = out / (1 + numpy.exp((glass - temp - law["shift"]) / law["width"]))
    return out


def cup(method, tolerance):
    m, c, heat, loss, air = (job[k] for k in ("mass", "c", "heat", "loss", "air"))

    def rhs(t, y):
        da = rate(y[0], y[1])
        return [heat / c * da - loss / (m * c) * (y[0] - air), da]

    events = [lambda t, y: y[1] - law["gel"], lambda t, y: y[0] - 313.15, lambda t, y: y[0] - 323.15]
    s = solve_ivp(rhs, (0, job["end"]), [air, 0.0], method=method, rtol=tolerance, atol=tolerance * 1e-2,
                  events=events, dense_output=True)
    top = int(numpy.argmax(s.y[0]))
    low, high = s.t[max(0, top - 1)], s.t[min(len(s.t) - 1, top + 1)]
    peak = minimize_scalar(lambda t: -s.sol(t)[0], bounds=(low, high), method="bounded", options={"xatol": 1e-6})
    return {"gel": s.t_events[0][0], "to40": s.t_events[1][0], "to50": s.t_events[2][0], "peak": -peak.fun}


def stack(method, tolerance):
    size, k, stored, burns = [], [], [], []
    for l in job["layers"]:
        for _ in range(l["cells"]):
            size.append(l["thickness"] / l["cells"])
            k.append(l["k"])
            stored.append(l["stored"])
            burns.append(l["burns"])
    size, k, stored, burns = map(numpy.array, (size, k, stored, burns))
    n = len(size)
    resist = numpy.concatenate(([1 / job["u_back"]], numpy.zeros(n - 1), [1 / job["u_front"]]))
    resist[:-1] += size / (2 * k)
    resist[1:] += size / (2 * k)
    band = lil_matrix((2 * n, 2 * n))
    for i in range(n):
        for j in range(max(0, i - 1), min(n, i + 2)):
            band[i, j] = 1
        band[i, n + i] = band[n + i, i] = band[n + i, n + i] = 1
    wanted, found, y = list(job["times"]), [], numpy.concatenate((numpy.full(n, job["start"]), numpy.zeros(n)))
    curve = job["curve"]
    for (t0, a), (t1, b) in zip(curve, curve[1:]):

        def rhs(t, y):
            air = a + (b - a) * (t - t0) / (t1 - t0)
            temp = numpy.concatenate(([air], y[:n], [air]))
            flux = -(temp[1:] - temp[:-1]) / resist
            da = numpy.where(burns > 0, rate(y[:n], y[n:]), 0.0)
            return numpy.concatenate((((flux[:-1] - flux[1:]) / size + burns * da) / stored, da))

        at = [t for t in wanted if t0 < t <= t1]
        s = solve_ivp(rhs, (t0, t1), y, method=method, rtol=tolerance, atol=tolerance * 1e-1,
                      t_eval=sorted(set(at + [t1])), jac_sparsity=band)
        found += [s.y[:, list(s.t).index(t)].tolist() for t in at]
        y = s.y[:, -1]
    return {"states": found}


solve = {"cup": cup, "stack": stack}[job["problem"]]
begun = time.perf_counter()
out = solve(job["method"], job["tolerance"])
out["seconds"] = time.perf_counter() - begun
json.dump(out, sys.stdout)
