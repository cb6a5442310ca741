"""Writes the drawings of this folder and prints the areas that tests/drawings.rs holds them to.

The drawings are our own. They are written with ezdxf 1.4 (MIT), and the areas come from ezdxf's own flattening (or
closed forms) and shapely 2 (BSD), so that both the file and the figure are independent of our reader:

    python -m venv v && v/bin/pip install ezdxf shapely scipy && v/bin/python make.py
"""
import math
import pathlib
import ezdxf
import numpy as np
from ezdxf import path
from scipy.interpolate import BSpline, CubicSpline
from shapely.geometry import Polygon

HERE = pathlib.Path(__file__).parent
SAG = 1e-5  # mm, distance of ezdxf's chords from the curve


def polygon(entity):
    # Curves by their own formula; make_path would approximate them by cubics first.
    curve = entity if entity.dxftype() in ("ELLIPSE", "SPLINE", "CIRCLE") else path.make_path(entity)
    return Polygon([(p[0], p[1]) for p in curve.flattening(SAG)])


def save(doc, name, binary=False, **figures):
    doc.saveas(HERE / name, fmt="bin" if binary else "asc")
    print(name, {k: round(v, 4) for k, v in figures.items()})


def new(units=4, version="R2010"):
    doc = ezdxf.new(version, units=units)
    return doc, doc.modelspace()


# A plate with rounded corners (bulges) and two round holes, in inches.
doc, msp = new(units=1)
b = math.tan(math.pi / 8)
msp.add_lwpolyline(
    [(1, 0, 0), (11, 0, b), (12, 1, 0), (12, 5, b), (11, 6, 0), (1, 6, b), (0, 5, 0), (0, 1, b)],
    format="xyb", close=True, dxfattribs={"layer": "OUTLINE"})
msp.add_circle((3, 3), 0.5, dxfattribs={"layer": "OUTLINE"})
msp.add_circle((9, 3), 0.5, dxfattribs={"layer": "OUTLINE"})
msp.add_text("invented plate", dxfattribs={"layer": "NOTES"})
msp.add_linear_dim(base=(0, 8), p1=(0, 0), p2=(12, 0)).render()
inch = 25.4**2
save(doc, "plate-inch.dxf", area=(12 * 6 - (4 - math.pi) * 1 - 2 * math.pi * 0.25) * inch)

# The same geometry as loose lines and arcs of the other hand (extrusion 0,0,-1), written as binary.
doc, msp = new()
m = dict(extrusion=(0, 0, -1))
msp.add_lwpolyline([(-0, 0, 0), (-300, 0, -b), (-320, 20, 0), (-320, 200, 0), (0, 200, 0)], format="xyb", close=True,
                   dxfattribs=m)
msp.add_circle((-100, 100), 25, dxfattribs=m)
msp.add_arc((-200, 100), 30, 0, 180, dxfattribs=m)
msp.add_line((170, 100), (230, 100))
save(doc, "other-hand.dxf", binary=True,
     area=320 * 200 - (400 - math.pi * 100) - math.pi * 625 - math.pi * 450)

# Ellipse with an elliptic hole.
doc, msp = new()
outer = msp.add_ellipse((50, 30), major_axis=(180, 60, 0), ratio=0.4)
inner = msp.add_ellipse((50, 30), major_axis=(0, 20, 0), ratio=0.5)
save(doc, "ellipse.dxf", area=math.pi * (math.hypot(180, 60) ** 2 * 0.4 - 200),
     ezdxf=polygon(outer).area - polygon(inner).area)

# A cubic spline that ends where it starts and, as a hole, a rational one that is exactly a circle of 40.
doc, msp = new()
free = msp.add_open_spline(
    [(x, y, 0) for x, y in [(0, 0), (250, -60), (420, 40), (380, 240), (180, 300), (-40, 220), (-80, 90), (0, 0)]],
    degree=3)
w = math.sqrt(0.5)
points = [(240, 120), (240, 160), (200, 160), (160, 160), (160, 120), (160, 80), (200, 80), (240, 80), (240, 120)]
hole = msp.add_rational_spline([(x, y, 0) for x, y in points], [1, w, 1, w, 1, w, 1, w, 1], degree=2,
                               knots=[0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4])
save(doc, "spline.dxf", area=polygon(free).area - math.pi * 1600, hole=polygon(hole).area)

# Blocks: a slotted plate with an array of holes, nested, turned, mirrored and scaled unevenly, base point not 0.
doc, msp = new()
pin = doc.blocks.new("PIN", base_point=(5, 5))
pin.add_circle((5, 5), 4)
pair = doc.blocks.new("PAIR", base_point=(0, 0))
pair.add_blockref("PIN", (-10, 0))
pair.add_blockref("PIN", (10, 0), dxfattribs={"xscale": 2, "yscale": -0.5, "rotation": 30})
frame = doc.blocks.new("FRAME")
frame.add_lwpolyline([(0, 0), (400, 0), (400, 200, 0, 0, 0.5), (0, 200)], close=True)
msp.add_blockref("FRAME", (500, 0), dxfattribs={"xscale": -1, "rotation": 90})
msp.add_blockref("PAIR", (340, -330), dxfattribs={
    "rotation": 90, "column_count": 3, "row_count": 2, "column_spacing": 100, "row_spacing": -80})
pieces = []
for insert in msp.query("INSERT"):
    for one in (insert.multi_insert() if insert.mcount > 1 else [insert]):
        stack = [one]
        while stack:
            e = stack.pop()
            if e.dxftype() == "INSERT":
                stack.extend(e.virtual_entities())
            else:
                pieces.append(polygon(e).area)
pieces.sort()
save(doc, "blocks.dxf", area=pieces[-1] - sum(pieces[:-1]), holes=len(pieces) - 1)

# Release 12 with POLYLINE and VERTEX, no unit, a frozen and an off layer, a sheet entity.
doc, msp = new(units=0, version="R12")
doc.layers.add("HIDDEN").freeze()
doc.layers.add("DARK").off()
msp.add_polyline2d([(0, 0, 0, 0, 0), (840, 0, 0, 0, 1), (840, 300, 0, 0, 0), (0, 300, 0, 0, 0)], close=True,
                   format="xyseb")
msp.add_circle((10, 10), 5, dxfattribs={"layer": "HIDDEN"})
msp.add_circle((30, 10), 5, dxfattribs={"layer": "DARK"})
doc.paperspace().add_line((0, 0), (100, 0))
save(doc, "release-12.dxf", area=840 * 300 + math.pi * 150**2 / 2)

# Splines in other dress: control points that go round (periodic, no clamped ends), and points to pass through with free
# ends, with given tangents, and closed. What goes
# round comes from scipy (BSD), as ezdxf draws it beyond its ends.
doc, msp = new()
wave = [(300 + (200 + 30 * (-1) ** i) * math.cos(math.tau * i / 12), (200 + 20 * (-1) ** i) * math.sin(math.tau * i / 12))
        for i in range(12)]
ring = msp.add_spline()
ring.set_closed([(x, y, 0) for x, y in wave], degree=3)
loose = msp.add_spline([(250, -60, 0), (310, -80, 0), (380, -10, 0), (340, 60, 0), (290, 40, 0), (250, -60, 0)])
tied = msp.add_spline([(180, 40, 0), (240, 30, 0), (250, 90, 0), (190, 100, 0), (180, 40, 0)])
tied.dxf.start_tangent, tied.dxf.end_tangent = (1, -1, 0), (-1, -3, 0)
fit = [(330, 100), (420, 80), (440, 120), (400, 140), (340, 135)]
closed = msp.add_spline([(x, y, 0) for x, y in fit])
closed.dxf.flags = closed.CLOSED | closed.PERIODIC
p = np.array(fit + fit[:1], float)
at = np.r_[0, np.cumsum(np.hypot(*np.diff(p, axis=0).T))]
around = CubicSpline(at, p, bc_type="periodic")(np.linspace(0, at[-1], 200_001))


def tool(spline):
    return Polygon([(q[0], q[1]) for q in spline.construction_tool().flattening(SAG)]).area


going_round = BSpline(ring.knots, np.array(ring.control_points)[:, :2], 3)(np.linspace(ring.knots[3], ring.knots[-4], 200_001))
save(doc, "spline-dress.dxf", ring=Polygon(going_round).area, free=tool(loose), tied=tool(tied), closed=Polygon(around).area)

# Entities in planes that are tilted against the drawing, seen from above.
doc, msp = new()
up = dict(extrusion=(0, 0.6, 0.8))
plate = msp.add_lwpolyline([(0, 0), (400, 0, 0, 0, 0.4), (400, 250), (0, 250)], close=True,
                           dxfattribs=dict(up, elevation=30))
hole = msp.add_circle((100, 120, 30), 40, dxfattribs=dict(extrusion=(0, 0.6, 0.8)))
slot = msp.add_ellipse((-280, -80, 0), major_axis=(60, 0, 0), ratio=0.5, dxfattribs=dict(extrusion=(0, -0.28, 0.96)))
box = Polygon([(q[0], q[1]) for q in path.make_path(plate).flattening(1e-3)]).bounds
save(doc, "tilted.dxf", plate=polygon(plate).area, hole=polygon(hole).area, slot=polygon(slot).area,
     left=box[0], low=box[1], right=box[2], high=box[3])

# Names in the code pages of releases before 2007, which are no UTF-8.
for name, code_page, outline, note in (("names-1252.dxf", "cp1252", "Au\u00dfenkontur", "Ma\u00dfe"),
                                       ("names-1251.dxf", "cp1251", "\u041a\u043e\u043d\u0442\u0443\u0440", "\u0422\u0435\u043a\u0441\u0442"),
                                       ("names-932.dxf", "cp932", "\u5916\u5f62\u8868", "\u5bf8\u6cd5")):
    doc, msp = new(version="R2000")
    doc.encoding = code_page
    doc.layers.add(outline)
    doc.layers.add(note)
    msp.add_lwpolyline([(0, 0), (300, 0), (300, 200), (0, 200)], close=True, dxfattribs={"layer": outline})
    msp.add_circle((100, 100), 20, dxfattribs={"layer": note})
    save(doc, name, area=300 * 200)
