#!/usr/bin/env python3
"""Bending figures of the program beside those of CalculiX (ccx), a general finite element program; run by hand.

    python3 -m venv fe && fe/bin/pip install numpy triangle
    cargo run --release -- check FILE --json > FILE.json
    fe/bin/python tests/fe/compare.py --ccx ccx FILE.ron FILE.json [--motion "Level lift"] [--edge 14]

The part is meshed anew (quadratic shell triangles S6), each cup is 24 springs on a ring with its axial stiffness and its tilt
stiffness, the load is gravity and the motion's acceleration across the part. Compared are the pull of every cup, the largest sag
beyond the plane of the lips, and the lowest frequencies. Only motions whose load is all across the part can be compared.

With ccx 2.20, level lift of three demos (--edge 22, 24, 24): pulls differ by 0.18, 0.02 and 0.21 % of the largest at most, the
largest sag by +0.21, -0.10 and +0.33 %, the four lowest frequencies by 0.17 % at most (door-sheet-thin, glass-pane-thin,
tray-blank-bending).
"""
import argparse, json, math, re, subprocess, sys, tempfile
from pathlib import Path
import numpy as np
import triangle

RING = 24


def loops(text):
    """Boundaries of the first part as straight pieces; arcs at 0.2 mm."""
    body = text[text.index("outline: ("):]
    body = body[: body.index("circuits:")]
    found = []
    for block in re.findall(r"\[\s*((?:\([^()]*\),?\s*)+)\]", body):
        vertices = [tuple(float(x) for x in v.split(",")) for v in re.findall(r"\(([^()]*)\)", block)]
        points = []
        for a, b in zip(vertices, vertices[1:] + vertices[:1]):
            start, end = np.array(a[:2]), np.array(b[:2])
            points.append(start)
            if len(a) > 2 and a[2] != 0.0:
                sweep = 4.0 * math.atan(a[2])
                chord = end - start
                radius = np.linalg.norm(chord) / (2.0 * math.sin(sweep / 2.0))
                centre = (start + end) / 2.0 + np.array([-chord[1], chord[0]]) / np.linalg.norm(chord) * radius * math.cos(sweep / 2.0)
                count = max(4, int(abs(sweep) / math.acos(max(0.0, 1.0 - 0.2 / abs(radius)))))
                angle = math.atan2(*(start - centre)[::-1])
                points += [centre + abs(radius) * np.array([math.cos(angle + sweep * k / count), math.sin(angle + sweep * k / count)]) for k in range(1, count)]
        found.append(np.array(points))
    return found


def number(text, key):
    held = re.search(key + r": Some\(\(([-\d.eE+]+)", text) or re.search(r"\b" + key + r": ([-\d.eE+]+)", text)
    return float(held.group(1)) if held else None


def spaced(points, edge):
    """A boundary with no piece longer than an edge."""
    out = []
    for a, b in zip(points, np.roll(points, -1, axis=0)):
        count = max(1, math.ceil(np.linalg.norm(b - a) / edge))
        out += [a + (b - a) * k / count for k in range(count)]
    return np.array(out)


def mesh(boundaries, rings, edge):
    points, segments, holes = [], [], []
    for at, boundary in enumerate(boundaries):
        boundary = spaced(boundary, edge)
        first = len(points)
        points += list(boundary)
        segments += [[first + k, first + (k + 1) % len(boundary)] for k in range(len(boundary))]
        if at:
            # A point inside a hole: beside an edge of a counter-clockwise or clockwise loop, by its signed area.
            a, b = boundary[0], boundary[1]
            area = 0.5 * np.sum(boundary[:, 0] * np.roll(boundary[:, 1], -1) - boundary[:, 1] * np.roll(boundary[:, 0], -1))
            normal = np.array([-(b - a)[1], (b - a)[0]]) / np.linalg.norm(b - a)
            holes.append((a + b) / 2.0 + math.copysign(0.05, area) * normal)
    ring_first = len(points)
    points += [p for ring in rings for p in ring]
    data = {"vertices": np.array(points), "segments": np.array(segments)}
    if holes:
        data["holes"] = np.array(holes)
    done = triangle.triangulate(data, f"pq30a{0.43 * edge * edge:.6f}o2")
    return done["vertices"], done["triangles"], ring_first


def run(ccx, deck):
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "case.inp").write_text(deck)
        out = subprocess.run([ccx, "-i", "case"], cwd=folder, capture_output=True, text=True)
        dat = Path(folder) / "case.dat"
        if not dat.exists():
            sys.exit(out.stdout[-2000:])
        return dat.read_text()


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("project")
    ask.add_argument("object")
    ask.add_argument("--ccx", default="ccx")
    ask.add_argument("--motion", default="Level lift")
    ask.add_argument("--edge", type=float, default=16.0)
    given = ask.parse_args()
    text = Path(given.project).read_text()
    layout = json.loads(Path(given.object).read_text())["layouts"][0]
    bent = next(m for m in layout["bending"]["motions"] if m["name"] == given.motion)
    motion = next(m for m in layout["motions"] if m["name"] == given.motion)
    specific = -motion["gravity_m_s2"][2] + motion["acceleration_m_s2"][2]
    boundaries = loops(text)
    t = number(text, "thickness_mm")
    e1, nu = number(text, "modulus_n_mm2"), number(text, "poisson") or 0.3
    e2 = number(text, "modulus_across_n_mm2")
    area = abs(sum((1 if k == 0 else -1) * abs(0.5 * np.sum(b[:, 0] * np.roll(b[:, 1], -1) - b[:, 1] * np.roll(b[:, 0], -1))) for k, b in enumerate(boundaries)))
    attached = [[float(x) for x in re.findall(r"[-\d.]+", m)] for m in re.findall(r"mass_kg: ([-\d.]+, at: \([^)]*\), size: \([^)]*\))", text[: text.index("layouts:")])]
    mass = layout["parts"][0]["mass_kg"] - sum(a[0] for a in attached)
    cups = [c for c in layout["cups"] if any(b["tag"] == c["tag"] for b in bent["cups"])]
    rings = []
    for c in cups:
        radius = math.sqrt(2e3 * c["tilt_nm_rad"][0] / c["axial_n_mm"])
        rings.append([np.array(c["at_mm"]) + radius * np.array([math.cos(2 * math.pi * (k + 0.5) / RING), math.sin(2 * math.pi * (k + 0.5) / RING)]) for k in range(RING)])
    points, triangles, ring_first = mesh(boundaries, rings, given.edge)
    deck = ["*NODE, NSET=ALL"] + [f"{k + 1}, {x:.9g}, {y:.9g}, 0." for k, (x, y) in enumerate(points)]
    # triangle's middles lie opposite the corners 1, 2, 3; ccx wants those of the sides 12, 23, 31.
    deck += ["*ELEMENT, TYPE=S6, ELSET=PLATE"] + [f"{k + 1}, " + ", ".join(str(tri[i] + 1) for i in (0, 1, 2, 5, 3, 4)) for k, tri in enumerate(triangles)]
    density = mass / (area * t) * 1e-3  # t/mm³
    deck += ["*MATERIAL, NAME=M"]
    if e2 is None:
        deck += ["*ELASTIC", f"{e1}, {nu}"]
    else:
        both = nu * nu * e2 / e1
        d = lambda e: e * t**3 / (12 * (1 - both))
        g = 12 * 0.5 * (1 - math.sqrt(both)) * math.sqrt(d(e1) * d(e2)) / t**3
        deck += ["*ELASTIC, TYPE=ENGINEERING CONSTANTS", f"{e1}, {e2}, {e2}, {nu}, 0., 0., {g}, {50 * g},", f"{50 * g}"]
    deck += ["*DENSITY", f"{density:.9e}", "*SHELL SECTION, ELSET=PLATE, MATERIAL=M" + (", ORIENTATION=O" if e2 else ""), f"{t}"]
    if e2:
        turn = math.radians(number(text, "along_deg") or 0.0)
        deck.insert(0, f"*ORIENTATION, NAME=O\n{math.cos(turn)}, {math.sin(turn)}, 0., {-math.sin(turn)}, {math.cos(turn)}, 0.")
    element = len(triangles) + 1
    for c, cup in enumerate(cups):
        for dof, stiffness in ((3, cup["axial_n_mm"]), (1, cup["lateral_n_mm"]), (2, cup["lateral_n_mm"])):
            deck += [f"*ELEMENT, TYPE=SPRING1, ELSET=S{c}D{dof}"]
            for k in range(RING):
                deck += [f"{element}, {ring_first + c * RING + k + 1}"]
                element += 1
            deck += [f"*SPRING, ELSET=S{c}D{dof}", f"{dof}", f"{stiffness / RING}"]
    loads = [f"PLATE, GRAV, {specific * 1e3}, 0., 0., -1."]
    nodal = []
    for kg, x, y, _, a, b, *_ in attached:
        inside = [k for k, p in enumerate(points) if abs(p[0] - x) <= a / 2 and abs(p[1] - y) <= b / 2] or [int(np.argmin(np.linalg.norm(points - [x, y], axis=1)))]
        corners = sorted(set(triangles[:, :3].ravel()) & set(inside)) or inside
        nodal += [f"{k + 1}, 3, {-kg * specific / len(corners):.9e}" for k in corners]
    static = deck + ["*STEP", "*STATIC", "*DLOAD"] + loads + (["*CLOAD"] + nodal if nodal else []) + ["*NODE PRINT, NSET=ALL", "U", "*END STEP"]
    dat = run(given.ccx, "\n".join(static) + "\n")
    w = np.zeros(len(points))
    for line in dat.splitlines():
        held = line.split()
        if len(held) == 4 and held[0].isdigit() and int(held[0]) <= len(points):
            w[int(held[0]) - 1] = -float(held[3])
    of_ring = [w[ring_first + c * RING: ring_first + (c + 1) * RING] for c in range(len(cups))]
    at = np.array([c["at_mm"] for c in cups])
    plane, *_ = np.linalg.lstsq(np.c_[np.ones(len(cups)), at], np.array([r.mean() for r in of_ring]), rcond=None)
    over = w - np.c_[np.ones(len(points)), points] @ plane
    print(f"{Path(given.project).name}, {given.motion}: {len(points)} nodes, {specific:.3f} m/s² across the part")
    worst = 0.0
    largest = max(abs(b["pull_n"]) for b in bent["cups"])
    for cup, ring in zip(cups, of_ring):
        own = next(b for b in bent["cups"] if b["tag"] == cup["tag"])
        pull = cup["axial_n_mm"] * ring.mean()
        worst = max(worst, abs(own["pull_n"] - pull) / largest)
        print(f"  {cup['tag']}: {own['pull_n']:8.3f} N, ccx {pull:8.3f} N, rigid {own['rigid_pull_n']:8.3f} N")
    deepest = over[np.argmax(np.abs(over))]
    print(f"  largest sag {own_sag(bent):.4f} mm, ccx {deepest:.4f} mm ({100 * (own_sag(bent) / deepest - 1):+.2f} %)")
    print(f"  pulls differ by {100 * worst:.2f} % of the largest at most")
    if attached:
        print("  frequencies are not compared: the masses are loads only here")
        return
    modes = deck + ["*STEP", "*FREQUENCY", "8", "*END STEP"]
    dat = run(given.ccx, "\n".join(modes) + "\n")
    # Those of swinging in the plane on the cups' lateral springs are left out.
    cycles = [float(l.split()[3]) for l in dat.splitlines() if len(l.split()) == 5 and l.split()[0].isdigit()]
    for mode in layout["bending"].get("ringing", {}).get("modes", [])[:4]:
        hz = mode["frequency_hz"]
        near = min(cycles, key=lambda c: abs(c - hz)) if cycles else float("nan")
        print(f"  rings at {hz:.3f} Hz, ccx {near:.3f} Hz ({100 * (hz / near - 1):+.2f} %)")


def own_sag(bent):
    return bent["sag_mm"]


main()
