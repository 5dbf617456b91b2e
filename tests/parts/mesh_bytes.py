"""Mesh files as bytes, written for tests."""

from __future__ import annotations

import io
import zipfile

import numpy as np

from traywright.geometry import Mesh, Region, extruded

ROW = np.dtype([("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")])
RELATIONS = (
    '<?xml version="1.0"?><Relationships xmlns="urn:relations">'
    '<Relationship Id="r" Target="/3D/3dmodel.model" Type="urn:3dmodel"/></Relationships>'
)
CORE = 'xmlns="urn:core"'


def block(x=0.0, y=0.0, z=0.0, sides=(60.0, 40.0, 20.0)):
    solid = extruded(Region.rectangle(x, y, x + sides[0], y + sides[1]), z, z + sides[2])
    return Mesh(solid.points_mm, solid.triangles)


def stl(mesh):
    rows = np.zeros(len(mesh.triangles), dtype=ROW)
    rows["v"] = mesh.corners_mm
    return bytes(80) + len(rows).to_bytes(4, "little") + rows.tobytes()


def stl_text(mesh, name="part"):
    facets = "".join(
        "facet normal 0 0 0\nouter loop\n"
        + "".join(f"vertex {x:.6f} {y:.6f} {z:.6f}\n" for x, y, z in corners)
        + "endloop\nendfacet\n"
        for corners in mesh.corners_mm.tolist()
    )
    return f"solid {name}\n{facets}endsolid {name}\n".encode()


def obj(*named):
    lines, start = ["# test", "mtllib none.mtl"], 1
    for name, mesh in named:
        lines.append(f"o {name}")
        lines += [f"v {x} {y} {z}" for x, y, z in mesh.points_mm.tolist()]
        lines += [f"f {a + start}//1 {b + start}//1 {c + start}//1" for a, b, c in mesh.triangles.tolist()]
        start += len(mesh.points_mm)
    return "\n".join(lines).encode() + b"\n"


def ply(mesh, order="ascii"):
    head = (
        f"ply\nformat {order} 1.0\ncomment test\nelement vertex {len(mesh.points_mm)}\nproperty float x\n"
        f"property float y\nproperty float z\nproperty uchar red\nelement face {len(mesh.triangles)}\n"
        "property list uchar int vertex_indices\nend_header\n"
    ).encode()
    if order == "ascii":
        rows = [f"{x} {y} {z} 7" for x, y, z in mesh.points_mm.tolist()]
        rows += [f"3 {a} {b} {c}" for a, b, c in mesh.triangles.tolist()]
        return head + "\n".join(rows).encode() + b"\n"
    mark = "<" if "little" in order else ">"
    points = np.zeros(len(mesh.points_mm), dtype=[("p", f"{mark}f4", 3), ("red", "u1")])
    points["p"] = mesh.points_mm
    faces = np.zeros(len(mesh.triangles), dtype=[("n", "u1"), ("c", f"{mark}i4", 3)])
    faces["n"], faces["c"] = 3, mesh.triangles
    return head + points.tobytes() + faces.tobytes()


def model(*objects, items, unit='unit="millimeter"'):
    return (
        f'<?xml version="1.0" encoding="UTF-8"?><model {unit} {CORE}><resources>{"".join(objects)}</resources>'
        f"<build>{items}</build></model>"
    )


def model_object(number, mesh, more=""):
    points = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in mesh.points_mm.tolist())
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.triangles.tolist())
    inner = f"<vertices>{points}</vertices><triangles>{faces}</triangles>"
    return f'<object id="{number}" {more}><mesh>{inner}</mesh></object>'


def archive(**members):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as files:
        for name, content in members.items():
            files.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def threemf(told, **more):
    return archive(**{"_rels/.rels": RELATIONS, "3D/3dmodel.model": told, **more})
