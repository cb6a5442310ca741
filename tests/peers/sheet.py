#!/usr/bin/env python3
"""A sheet on 24 cups with scikit-fem and scipy, timed beside `cargo bench -p flex --bench sheet`; run by hand.

    python3 -m venv peers && peers/bin/pip install numpy scipy scikit-fem
    peers/bin/python tests/peers/sheet.py

A plate of 1500 x 900 x 1 mm without holes, Morley triangles, about as many unknowns as the benchmark of 1,000 corners has
(6,000). Timed: mesh, stiffness and factor with the answers to 72 unit loads (24 cups by three), then three modes by shift and
invert on 24 springs. Morley triangles answer less exactly at that size; the work is of the same kind. Quote ratios of one session on one machine.
"""
import json, statistics, time
import numpy as np
import skfem
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import eigsh, splu
from skfem.helpers import dd, ddot, trace

E, NU, T, RHO = 210e3, 0.3, 1.0, 7.85e-9  # MPa, mm, t/mm3
D = E * T**3 / 12 / (1 - NU**2)


@skfem.BilinearForm
def bending(u, v, _):
    k = dd(u)
    return D * ((1 - NU) * ddot(k, dd(v)) + NU * trace(k) * trace(dd(v)))


@skfem.BilinearForm
def mass(u, v, _):
    return RHO * T * u * v


def cups(basis):
    """Rows that read the deflection at 24 places."""
    at = np.array([[100.0 + 260.0 * (i % 6), 90.0 + 240.0 * (i // 6)] for i in range(24)]).T
    return csc_matrix(basis.probes(at))


def first():
    mesh = skfem.MeshTri.init_tensor(np.linspace(0, 1500, 51), np.linspace(0, 900, 31))
    basis = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=2)
    rows = cups(basis)
    stiff = (bending.assemble(basis) + 20.0 * rows.T @ rows).tocsc()
    factor = splu(stiff)
    rhs = np.repeat(np.asarray(rows.todense()).T, 3, axis=1)
    factor.solve(rhs)
    return basis, stiff


def timed(what, f, n=5):
    out = []
    for _ in range(n):
        start = time.perf_counter()
        value = f()
        out.append(time.perf_counter() - start)
    print(json.dumps({"what": what, "seconds": statistics.median(out), "n": n}), flush=True)
    return value


if __name__ == "__main__":
    basis, stiff = timed("mesh, stiffness, factor, 72 answers", first)
    print(json.dumps({"unknowns": int(basis.N)}))
    weight = mass.assemble(basis).tocsc()
    modes = timed("three modes", lambda: eigsh(stiff, 3, weight, sigma=0.0)[0])
    print(json.dumps({"hertz": (np.sqrt(modes) / 2 / np.pi).tolist()}))
