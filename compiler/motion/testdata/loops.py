#!/usr/bin/env python3
"""Position loops in the time domain, the values of motion's rows by an independent solver.

Every loop is run as its differential equation (scipy solve_ivp, DOP853) and read off as it would be on a machine: the path against its
command. No frequency response and no closed form is used. Made with Python 3.11, numpy 1.24.2, scipy 1.10.1.

    python3 loops.py
"""
import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize_scalar

TIGHT = dict(method="DOP853", rtol=1e-11, atol=1e-15)


def loops(command, gains, shares, end, events=None):
    """Runs the axes x' = Kv (c - x) + share c'; command gives c and c' at a time."""
    gains, shares = np.array(gains), np.array(shares)

    def slope(t, x):
        c, rate = command(t)
        return gains * (c - x) + shares * rate

    return solve_ivp(slope, (0, end), command(0)[0], dense_output=True, max_step=end / 400, **TIGHT)


def circle(radius, feed, gains, shares):
    w = feed / radius

    def command(t):
        return radius * np.array([np.cos(w * t), np.sin(w * t)]), radius * w * np.array([-np.sin(w * t), np.cos(w * t)])

    start = 40 / min(gains)
    run = loops(command, gains, shares, start + 2 * np.pi / w)
    t = np.linspace(start, start + 2 * np.pi / w, 200001)
    x, y = run.sol(t)
    r = np.hypot(x, y)
    i = r.argmax()
    angle = np.degrees(np.arctan2(y[i], x[i]))
    return (r.max() - radius) * 1e6, (r.min() - radius) * 1e6, (angle + 90) % 180 - 90


def line(feed, degrees, gains, shares):
    u = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    run = loops(lambda t: (feed * t * u, feed * u), gains, shares, 40 / min(gains))
    x, y = run.y[:, -1]
    return abs(x * u[1] - y * u[0]) * 1e6


def lag(feed, gain, share):
    end = 40 / gain
    run = loops(lambda t: (np.array([feed * t]), np.array([feed])), [gain], [share], end)
    return (feed * end - run.y[0, -1]) * 1e6


def corner(feed, gain, degrees):
    """The command arrives at the corner at 0 and leaves it, turned; the axes come with their steady lag."""
    turned = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    run = solve_ivp(lambda t, x: gain * (feed * t * turned - x), (0, 6 / gain), [-feed / gain, 0], dense_output=True, max_step=0.01 / gain, **TIGHT)
    distance = lambda t: np.hypot(*run.sol(t))
    t = np.linspace(0, 6 / gain, 20001)
    i = np.hypot(*run.sol(t)).argmin()
    best = minimize_scalar(distance, bounds=(t[max(i - 1, 0)], t[i + 1]), method="bounded", options={"xatol": 1e-14})
    return best.fun * 1e6


def limit(frequency, damping):
    """The gain at which an eigenvalue of mass, spring, damper and loop crosses over; the carriage follows the motor through the spring."""
    m = 100.0
    k = m * (2 * np.pi * frequency) ** 2
    c = 2 * damping * np.sqrt(k * m)

    # States: motor place, carriage place, carriage speed. The motor moves at Kv times the carriage's error. The damper is to ground.
    def worst(gain):
        return np.linalg.eigvals(np.array([[0, -gain, 0], [0, 0, 1], [k / m, -k / m, -c / m]])).real.max()

    return brentq(worst, 1e-3, 1e4, xtol=1e-10)


def corner_frequency(gain):
    """The frequency at which the loop answers with 1/sqrt 2, the amplitude read from a run."""

    def amplitude(f):
        w = 2 * np.pi * f
        run = solve_ivp(lambda t, x: gain * (np.sin(w * t) - x), (0, 30 / gain + 1 / f), [0], dense_output=True, max_step=1 / f / 100, **TIGHT)
        t = 30 / gain + np.linspace(0, 1 / f, 4001)[:-1]
        x = run.sol(t)[0]
        return np.sqrt(2 * np.mean(x * x))

    return brentq(lambda f: amplitude(f) - np.sqrt(0.5), 0.1 * gain / 6, 10 * gain / 6, xtol=1e-8)


def stops(force, stiffness, backlash):
    """Width of the hysteresis between encoder and table, by small steps of a gap, a spring and dry friction."""
    table, width = 0.0, {}
    path = np.concatenate([np.linspace(0, 1e-4, 200001), np.linspace(1e-4, -1e-4, 400001), np.linspace(-1e-4, 1e-4, 400001)])
    for i, motor in enumerate(path):
        stretch = motor - table
        gap = np.sign(stretch) * max(abs(stretch) - backlash / 2, 0)
        if abs(stiffness * gap) > force:
            table = motor - np.sign(gap) * (force / stiffness + backlash / 2)
        if 200001 <= i < 600002 and abs(motor) < 2e-10:
            width["down"] = table
        elif i >= 600002 and abs(motor) < 2e-10:
            width["up"] = table
    return (width["down"] - width["up"]) * 1e6


def flat(lost, radius):
    """Travel along the other axis while one axis stands, by small steps of a play of that width."""
    t = np.linspace(-0.2, 0.2, 2000001)
    x, table, y = radius * np.cos(t), radius * np.cos(t[0]) - lost / 2, []
    for c, s in zip(x[1:], radius * np.sin(t[1:])):
        new = min(max(table, c - lost / 2), c + lost / 2)
        if new == table:
            y.append(s)
        table = new
    return (max(y) - min(y)) * 1e3


def quiet(acceleration, frequency):
    """The greatest jerk of a rising acceleration that leaves an undamped mode still."""
    w = 2 * np.pi * frequency

    def left(jerk):
        rise = acceleration / jerk
        first = solve_ivp(lambda t, x: [x[1], -w * w * x[0] - jerk * t], (0, rise), [0, 0], max_step=rise / 50, **TIGHT)
        x, v = first.y[:, -1]
        return np.hypot(x + acceleration / w**2, v / w) * w**2 / acceleration

    jerks = np.geomspace(5, 0.2, 400) * acceleration * frequency
    amplitude = np.array([left(j) for j in jerks])
    i = next(i for i in range(1, 399) if amplitude[i] < amplitude[i - 1] and amplitude[i] < amplitude[i + 1])
    return minimize_scalar(left, bounds=(jerks[i + 1], jerks[i - 1]), method="bounded", options={"xatol": 1e-9}).x


if __name__ == "__main__":
    print("circle R 10 mm, 50 mm/s, Kv 30 33:", circle(0.010, 0.05, [30, 33], [0, 0]))
    print("circle R 5 mm, 100 mm/s, Kv 25 40, share .9 .5:", circle(0.005, 0.1, [25, 40], [0.9, 0.5]))
    print("circle R 30 mm, 100 mm/s, Kv 50 50:", circle(0.030, 0.1, [50, 50], [0, 0]))
    print("line 30 deg, 80 mm/s, Kv 20 35, share .8 .6:", line(0.08, 30, [20, 35], [0.8, 0.6]))
    print("lag 120 mm/s, Kv 40, share .7:", lag(0.12, 40, 0.7))
    for d in (45, 90, 135):
        print("corner", d, "100 mm/s, Kv 40:", corner(0.1, 40, d))
    print("limit 40 Hz .05:", limit(40, 0.05), " 120 Hz .03:", limit(120, 0.03))
    print("bandwidth Kv 40:", corner_frequency(40))
    print("lost motion 60 N, 30 N/um, 5 um:", stops(60, 30e6, 5e-6))
    print("flat 9 um, 50 mm:", flat(9e-6, 0.05))
    print("quiet jerk 1.5 m/s2, 20 Hz:", quiet(1.5, 20))
