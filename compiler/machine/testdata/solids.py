#!/usr/bin/env python3
"""Members on each other as solid elements: how their free end moves, and their lowest natural frequencies.

Writes a mesh of 20-node bricks (C3D20R) of square members with sharp corners, runs CalculiX (ccx 2.20), and prints what it finds. Members
are fused where they touch, without a weld bead.

    python3 solids.py tee CHORD WALL BRANCH WALL SIZE static|modes
    python3 solids.py corner|capped CHORD WALL BRANCH WALL SIZE static
    python3 solids.py ladder SIDE WALL RUNG WALL SIZE modes

tee     a chord of 600 mm, both ends held, and on the middle of its face a branch 300 mm long. static: the branch's end is rigid; its shift and
        turn under 1 N along the chord (x), across it (y) and along the branch (z), and under 1 N m about the branch.
corner  the same with the chord held at one end and ending flush with the branch, open or (capped) closed by a plate as thick as its wall.
ladder  two sides of 800 mm along x, 600 mm apart from middle to middle, the first one held at both ends, and one rung between their faces.
CHORD, BRANCH, WALL in mm; a wall of 0 is a solid bar. SIZE is the longest side of a brick in mm; walls have two bricks where it is 20 or less, else one.
"""
import os, subprocess, sys, tempfile

E, NU, RHO = 210e9, 0.3, 7850.0


def grid(points, size):
    """Lines through the points, no farther apart than size, in mm."""
    points = sorted(set(round(p, 6) for p in points))
    out = [points[0]]
    for a, b in zip(points, points[1:]):
        wall = b - a < 12
        n = max(1, -int(-(b - a) // size))
        if wall and size <= 20:
            n = max(n, 2)
        out += [a + (b - a) * (i + 1) / n for i in range(n)]
    return out


def prism(axis, centre, side, wall, low, high):
    """A square member along an axis (0, 1, 2): centre in the two others."""
    others = [k for k in range(3) if k != axis]

    def inside(p):
        if not low < p[axis] < high:
            return False
        d = max(abs(p[k] - c) for k, c in zip(others, centre))
        return d < side / 2 and (wall == 0 or d > side / 2 - wall)
    lines = {axis: [low, high]}
    for k, c in zip(others, centre):
        lines[k] = [c - side / 2, c + side / 2] + ([c - side / 2 + wall, c + side / 2 - wall] if wall else [])
    return inside, lines


def main():
    kind = sys.argv[1]
    a, ta, b, tb, size = (float(v) for v in sys.argv[2:7])
    what = sys.argv[7]
    if kind == "tee":
        members = [prism(0, (0, 0), a, ta, -300, 300), prism(2, (0, 0), b, tb, a / 2, a / 2 + 300)]
        held = lambda p: abs(abs(p[0]) - 300) < 1e-6
        tip = a / 2 + 300
    elif kind in ("corner", "capped"):
        members = [prism(0, (0, 0), a, ta, -300, b / 2), prism(2, (0, 0), b, tb, a / 2, a / 2 + 300)]
        if kind == "capped":
            members.append(prism(0, (0, 0), a, 0, b / 2, b / 2 + ta))
        held = lambda p: abs(p[0] + 300) < 1e-6
        tip = a / 2 + 300
    else:
        members = [prism(0, (-300, 0), a, ta, -400, 400), prism(0, (300, 0), a, ta, -400, 400), prism(1, (0, 0), b, tb, -300 + a / 2, 300 - a / 2)]
        held = lambda p: abs(abs(p[0]) - 400) < 1e-6 and p[1] < 0
    lines = []
    for k in range(3):
        points = [v for _, l in members for v in l[k]]
        lines.append(grid(points, size))
    nodes, places, elements = {}, [], []

    def node(key):  # in halves of a cell
        if key not in nodes:
            nodes[key] = len(nodes) + 1
            places.append([l[m // 2] if m % 2 == 0 else (l[m // 2] + l[m // 2 + 1]) / 2 for l, m in zip(lines, key)])
        return nodes[key]
    corner = [(0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0), (0, 0, 2), (2, 0, 2), (2, 2, 2), (0, 2, 2)]
    middle = [(1, 0, 0), (2, 1, 0), (1, 2, 0), (0, 1, 0), (1, 0, 2), (2, 1, 2), (1, 2, 2), (0, 1, 2), (0, 0, 1), (2, 0, 1), (2, 2, 1), (0, 2, 1)]
    for i in range(len(lines[0]) - 1):
        for j in range(len(lines[1]) - 1):
            for k in range(len(lines[2]) - 1):
                p = [(l[m] + l[m + 1]) / 2 for l, m in zip(lines, (i, j, k))]
                if any(inside(p) for inside, _ in members):
                    elements.append([node((2 * i + x, 2 * j + y, 2 * k + z)) for x, y, z in corner + middle])
    with tempfile.TemporaryDirectory() as folder:
        with open(os.path.join(folder, "t.inp"), "w") as w:
            print("*NODE, NSET=ALL", file=w)
            for m, p in enumerate(places, 1):
                print(f"{m}, {p[0] / 1e3:.9g}, {p[1] / 1e3:.9g}, {p[2] / 1e3:.9g}", file=w)
            turn = len(places) + 1
            if what == "static":
                print(f"{turn}, 0, 0, {tip / 1e3}\n{turn + 1}, 0, 0, {tip / 1e3}", file=w)
            print("*ELEMENT, TYPE=C3D20R, ELSET=BAR", file=w)
            for m, e in enumerate(elements, 1):
                print(", ".join(map(str, [m] + e[:10])) + ",\n" + ", ".join(map(str, e[10:])), file=w)
            print(f"*MATERIAL, NAME=STEEL\n*ELASTIC\n{E}, {NU}\n*DENSITY\n{RHO}\n*SOLID SECTION, ELSET=BAR, MATERIAL=STEEL", file=w)
            if what == "static":  # the end's nodes follow two points: the shift of the first, the turn of the second
                for m, p in enumerate(places, 1):
                    if abs(p[2] - tip) > 1e-6:
                        continue
                    x, y = p[0] / 1e3, p[1] / 1e3
                    print(f"*EQUATION\n3\n{m}, 1, 1, {turn}, 1, -1, {turn + 1}, 3, {y:.9g}", file=w)
                    print(f"*EQUATION\n3\n{m}, 2, 1, {turn}, 2, -1, {turn + 1}, 3, {-x:.9g}", file=w)
                    print(f"*EQUATION\n4\n{m}, 3, 1, {turn}, 3, -1, {turn + 1}, 1, {-y:.9g}, {turn + 1}, 2, {x:.9g}", file=w)
            print("*BOUNDARY", file=w)
            for m, p in enumerate(places, 1):
                if held(p):
                    print(f"{m}, 1, 3", file=w)
            if what == "static":
                print(f"*NSET, NSET=TIP\n{turn}, {turn + 1}", file=w)
                for n, f in ((turn, 1), (turn, 2), (turn, 3), (turn + 1, 3)):
                    print(f"*STEP\n*STATIC\n*CLOAD, OP=NEW\n{n}, {f}, 1\n*NODE PRINT, NSET=TIP\nU\n*END STEP", file=w)
            else:
                end = [m for m, p in enumerate(places, 1) if (abs(p[2] - tip) < 1e-6 if kind == "tee" else p[1] > 0 and abs(p[0]) <= b / 2)]
                print("*NSET, NSET=TIP", file=w)
                for m in end:
                    print(m, file=w)
                print("*STEP\n*FREQUENCY\n6\n*NODE PRINT, NSET=TIP\nU\n*END STEP", file=w)
        subprocess.run(["ccx", "t"], cwd=folder, check=True, stdout=subprocess.DEVNULL, env=dict(os.environ, OMP_NUM_THREADS="1"))
        print(" ".join(sys.argv[1:]), len(places), "nodes", len(elements), "bricks")
        modes, number, sums = {}, 0, [0, 0, 0]
        for line in open(os.path.join(folder, "t.dat")):
            cells = line.split()
            if what == "static" and len(cells) == 4 and cells[0].isdigit():
                print(" ".join(cells))
            if what == "modes" and len(cells) == 5 and cells[0].isdigit() and len(modes) < 6:
                modes[int(cells[0])] = [cells[3], [0, 0, 0]]
            if "E I G E N V A L U E    N U M B E R" in line:
                number = int(cells[-1])
            if what == "modes" and number in modes and len(cells) == 4 and cells[0].isdigit():
                modes[number][1] = [u + float(v) for u, v in zip(modes[number][1], cells[1:])]
        for n, (f, u) in modes.items():  # and which way the end moves in the mean, as a share of the largest
            most = max(max(abs(v) for v in u), 1e-12)
            print(n, f, "Hz", " ".join("%.2f" % (v / most) for v in u), "%.2g" % most)


main()
