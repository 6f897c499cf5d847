#!/usr/bin/env python3
"""Twist of an open bar whose ends are held against warping, by solid elements.

Writes a mesh of 20-node bricks (C3D20R) of an I or a channel with sharp corners, runs CalculiX (ccx 2.20), and prints the turn of
the end under a torque of 1 N m. All nodes at z = 0 are held. At z = L the section keeps its shape and turns; it is held against
warping too ("held") or free to warp ("free"). With "fork" both ends keep their shape without turning and are free to warp, and the
section at SHARE of the length keeps its shape and turns.

    python3 held.py i|channel HEIGHT WIDTH WEB FLANGE LENGTH held|free|fork FINENESS [SHARE]      sizes in mm
"""
import os
import subprocess
import sys
import tempfile

E, NU = 210e9, 0.3


def lines(*spans):
    out = [spans[0][0]]
    for a, b, n in spans:
        out += [a + (b - a) * (i + 1) / n for i in range(n)]
    return out


def main():
    kind, end = sys.argv[1], sys.argv[7]
    h, b, tw, tf, length = (float(v) / 1000 for v in sys.argv[2:7])
    f = float(sys.argv[8]) if len(sys.argv) > 8 else 1
    n = lambda k: max(1, round(k * f))
    zs = lines((-h / 2, -h / 2 + tf, n(2)), (-h / 2 + tf, h / 2 - tf, n(8)), (h / 2 - tf, h / 2, n(2)))
    if kind == "i":
        ys = lines((-b / 2, -tw / 2, n(5)), (-tw / 2, tw / 2, n(2)), (tw / 2, b / 2, n(5)))
        web = (-tw / 2, tw / 2)
    else:
        ys = lines((0, tw, n(2)), (tw, b, n(6)))
        web = (0, tw)
    xs = lines((0, length, n(30)))
    cells = []
    for i in range(len(ys) - 1):
        for j in range(len(zs) - 1):
            y, z = (ys[i] + ys[i + 1]) / 2, (zs[j] + zs[j + 1]) / 2
            if abs(z) > h / 2 - tf or web[0] < y < web[1]:
                cells.append((i, j))
    nodes, coordinates, elements = {}, [], []

    def node(i, j, k):  # in halves of a cell
        key = (i, j, k)
        if key not in nodes:
            nodes[key] = len(nodes) + 1
            at = lambda list, m: list[m // 2] if m % 2 == 0 else (list[m // 2] + list[m // 2 + 1]) / 2
            coordinates.append((at(ys, i), at(zs, j), at(xs, k)))
        return nodes[key]

    corner = [(0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0), (0, 0, 2), (2, 0, 2), (2, 2, 2), (0, 2, 2)]
    middle = [(1, 0, 0), (2, 1, 0), (1, 2, 0), (0, 1, 0), (1, 0, 2), (2, 1, 2), (1, 2, 2), (0, 1, 2), (0, 0, 1), (2, 0, 1), (2, 2, 1), (0, 2, 1)]
    for i, j in cells:
        for k in range(len(xs) - 1):
            elements.append([node(2 * i + a, 2 * j + c, 2 * k + d) for a, c, d in corner + middle])
    plane = lambda at: [m for (i, j, k), m in nodes.items() if k == 2 * at]
    first, last = plane(0), plane(len(xs) - 1)
    turned = plane(round(float(sys.argv[9]) * (len(xs) - 1))) if end == "fork" else last
    turn = len(nodes) + 1  # its first freedom is the turn, its second and third the shift of the section
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "bar.inp"), "w") as w:
            print("*NODE, NSET=ALL", file=w)
            for m, (y, z, x) in enumerate(coordinates, 1):
                print(f"{m}, {y:.9g}, {z:.9g}, {x:.9g}", file=w)
            print(f"{turn}, 0, 0, {length:.9g}", file=w)
            print("*ELEMENT, TYPE=C3D20R, ELSET=BAR", file=w)
            for m, e in enumerate(elements, 1):
                print(", ".join(map(str, [m] + e[:10])) + ",\n" + ", ".join(map(str, e[10:])), file=w)
            print(f"*MATERIAL, NAME=STEEL\n*ELASTIC\n{E}, {NU}\n*SOLID SECTION, ELSET=BAR, MATERIAL=STEEL", file=w)
            for m in turned:
                y, z, _ = coordinates[m - 1]
                print(f"*EQUATION\n3\n{m}, 1, 1, {turn}, 1, {z:.9g}, {turn}, 2, -1", file=w)
                print(f"*EQUATION\n3\n{m}, 2, 1, {turn}, 1, {-y:.9g}, {turn}, 3, -1", file=w)
            print("*BOUNDARY", file=w)
            for m in first:
                print(f"{m}, 1, {2 if end == 'fork' else 3}", file=w)
            if end == "fork":
                for m in last:
                    print(f"{m}, 1, 2", file=w)
                middle = min(first, key=lambda m: coordinates[m - 1][0] ** 2 + coordinates[m - 1][1] ** 2)
                print(f"{middle}, 3, 3", file=w)
            if end == "held":
                for m in last:
                    print(f"{m}, 3, 3", file=w)
            print(f"*STEP\n*STATIC\n*CLOAD\n{turn}, 1, 1\n*NODE PRINT, NSET=END\nU\n*END STEP".replace("*STEP", f"*NSET, NSET=END\n{turn}\n*STEP", 1), file=w)
        subprocess.run(["ccx", "bar"], cwd=folder, check=True, stdout=subprocess.DEVNULL)
        with open(os.path.join(folder, "bar.dat")) as r:
            row = [line.split() for line in r if line.split()[:1] == [str(turn)]][0]
    print(f"{kind} {sys.argv[2:8]} fineness {f}: {len(elements)} elements, turn {float(row[1]):.6e} rad under 1 N m")


main()
