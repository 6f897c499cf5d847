#!/usr/bin/env python3
"""How deep and how fast a machine can cut, by brute force, the values of reach's rows by an independent solver.

A straight-fluted cutter is turned in 3600 steps, the forces of its teeth are added up at each, and the loads of a cut are read off the
turn. The greatest depth is found by halving between a cut that every limit carries and one that some limit does not; nothing is taken as
proportional to the depth. The deflection is the largest over 720 directions of feed. Speeds and feeds per tooth are a fine even grid
within the ranges. Specific forces are Kienzle's law with constants as printed. Made with Python 3.11, numpy 1.24.2.

    python3 search.py
"""
import numpy as np

STEPS, SPEEDS, CHIPS = 3600, 21, 11


def turn(mode, width, teeth, steps=STEPS, first=0.0):
    """Angles of every tooth over a turn and whether it cuts; the first step is so many steps after a tooth enters."""
    entry = {"slot": 0, "down": np.arccos(2 * width - 1), "centre": np.pi / 2 - np.arcsin(width)}[mode]
    at = (entry + 2 * np.pi * ((np.arange(steps)[:, None] + first) / steps + np.arange(teeth)[None, :] / teeth)) % (2 * np.pi)
    y = -np.cos(at)  # place of the edge across the feed, in radii, from the side where the tooth enters in up milling
    inside = np.sin(at) > 0
    if mode == "down":
        inside &= y > 1 - 2 * width - 1e-9
    elif mode == "centre":
        inside &= np.abs(y) < width
    return at, inside


def loads(case, at, inside, fz, depth):
    """Force along the feed, across it and along the tool over a turn, and the mean torque."""
    h = np.where(inside, fz * np.sin(at), 0)
    kc = case["kc11"] * np.where(inside, np.maximum(h, 1e-12), 1) ** -case["mc"]  # N/mm2, h in mm
    ft = np.where(inside, kc * h * depth, 0)
    fr, fa = case["normal"] * ft, case["axial"] * ft
    feed = (-ft * np.cos(at) - fr * np.sin(at)).sum(1)
    side = (ft * np.sin(at) - fr * np.cos(at)).sum(1)
    along = -fa.sum(1)
    torque = ft.sum(1).mean() * case["diameter"] / 2e3
    return feed, side, along, torque


def deflection(case, feed, side, along):
    kx, ky, kz = case["stiffness"]
    worst = 0
    strong = np.argsort(feed**2 + side**2)[-200:]  # the deflection is largest where the force is
    for d in np.linspace(0, 2 * np.pi, 721)[:-1]:
        x = np.cos(d) * feed[strong] - np.sin(d) * side[strong]
        y = np.sin(d) * feed[strong] + np.cos(d) * side[strong]
        worst = max(worst, np.sqrt((x / kx) ** 2 + (y / ky) ** 2 + (along[strong] / kz) ** 2).max())
    return worst  # um, forces in N and stiffness in N/um


def carries(case, at, inside, fz, speed, depth):
    """The limit that does not carry a cut, none where all do."""
    feed, side, along, _ = loads(case, at, inside, fz, depth)
    torque = loads(case, *case["fine"], fz, depth)[3] if case["torque"] < 1e9 else 0
    lateral = np.hypot(feed, side).max()
    arm, moment = case["root"]
    return (
        depth <= case["flute"]
        and torque <= case["torque"]
        and 2 * np.pi * speed / 60 * torque <= case["power"]
        and max(lateral, np.abs(along).max()) <= case["thrust"]
        and lateral * (arm - depth / 2) / 1e3 <= moment
        and (case["give"] > 1e8 or deflection(case, feed, side, along) <= case["give"])
    )


def depth(case, at, inside, fz, speed):
    low, high = 0.0, case["flute"]
    if carries(case, at, inside, fz, speed, high):
        return high
    for _ in range(26):
        middle = (low + high) / 2
        low, high = (middle, high) if carries(case, at, inside, fz, speed, middle) else (low, middle)
    return low


def search(case, mode, width):
    at, inside = turn(mode, width, case["teeth"])
    case = dict(case, fine=turn(mode, width, case["teeth"], 10 * STEPS, 0.5))  # between the steps, for the mean
    thickest = np.sin(np.arccos(2 * width - 1)) if mode == "down" and width < 0.5 else 1.0
    n = np.linspace(*case["speeds"], SPEEDS)
    feeds = np.linspace(*case["chips"], CHIPS) / thickest
    deepest, fastest = 0, (0,)
    for fz in feeds:
        # The mean torque is all that the speed meets; the rest of the limits are the same at every speed.
        free = dict(case, torque=1e9, power=1e12)
        by_force = depth(free, at, inside, fz, n[0])
        for speed in n:
            if fz * case["teeth"] * speed > case["feed"] * (1 + 1e-12):
                continue
            torque = loads(case, *case["fine"], fz, by_force)[3]
            d = by_force
            if torque > case["torque"] or 2 * np.pi * speed / 60 * torque > case["power"]:
                d = depth(dict(case, give=1e9, thrust=1e12, root=(1, 1e12)), at, inside, fz, speed)
                d = min(d, by_force)
            rate = d * width * case["diameter"] * fz * case["teeth"] * speed / 1e3
            deepest = max(deepest, d)
            fastest = max(fastest, (rate, d, fz, speed))
    return deepest, fastest


MACHINE = dict(stiffness=(4.0, 3.0, 8.0), give=30, torque=0.88, power=900, thrust=600, feed=6000, flute=15, root=(24, 6.0))
STEELS = dict(
    s235=dict(kc11=1780, mc=0.17, normal=0.45, axial=0.2),
    crmo=dict(kc11=2500, mc=0.26, normal=0.45, axial=0.2),
    iron=dict(kc11=1160, mc=0.26, normal=0.5, axial=0.2),
    alu=dict(kc11=800, mc=0.25, normal=0.4, axial=0.2),
    brass=dict(kc11=700, mc=0.27, normal=0.3, axial=0.1),
)
CASES = [
    ("alu", dict(diameter=6, teeth=2, speeds=(8000, 18000), chips=(0.02, 0.06)), "slot", 1.0),
    ("alu", dict(diameter=6, teeth=2, speeds=(8000, 18000), chips=(0.02, 0.06), root=(24, 1.2)), "down", 0.1),
    ("brass", dict(diameter=10, teeth=3, speeds=(4000, 8000), chips=(0.03, 0.08), root=(30, 25.0)), "down", 0.5),
    ("s235", dict(diameter=8, teeth=4, speeds=(2000, 4000), chips=(0.02, 0.05), root=(26, 90.0), stiffness=(40, 40, 60), thrust=120), "down", 0.25),
    ("crmo", dict(diameter=8, teeth=4, speeds=(2000, 4000), chips=(0.02, 0.05), root=(26, 90.0), stiffness=(40, 40, 60), torque=20, power=60), "down", 0.1),
    ("iron", dict(diameter=20, teeth=2, speeds=(1000, 2000), chips=(0.05, 0.15), root=(40, 200.0), torque=0.5, power=300, feed=400, stiffness=(60, 60, 100)), "centre", 0.6),
]

if __name__ == "__main__":
    for name, change, mode, width in CASES:
        print(name, mode, width, search({**MACHINE, **STEELS[name], **change}, mode, width))
