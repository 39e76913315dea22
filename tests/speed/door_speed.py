"""What a call through the door costs beside the bare core and beside pint by hand: python tests/speed/door_speed.py

Ratios of one run, no pass or fail by time. Aim: a model of four arguments under 150 µs through the door, `.si` free of unit cost.
"""
import timeit

import numpy as np

from kitchenlib.units import Q_, boundary


def core(dose, reference, reference_dose, exponent):
    return reference * (dose / reference_dose) ** exponent


law = boundary("kPa", dose="percent", reference="kPa", reference_dose="percent", exponent="",
               valid={"dose": (0.01, 20), "reference": (1e-3, 1e4), "reference_dose": (0.05, 20), "exponent": (1, 4)})(core)


def microseconds(call, about=0.2):
    """Best of five rounds: the others measure what else the machine does."""
    timer = timeit.Timer(call)
    number = max(int(about / max(timer.timeit(100) / 100, 1e-9)), 10)
    return min(timer.repeat(5, number)) / number * 1e6


def main():
    one = (Q_(1.5, "percent"), Q_(9, "kPa"), Q_(1, "percent"), 2)
    other = (Q_(15, "g/kg"), Q_(9000, "Pa"), Q_(0.01, "dimensionless"), 2.0)
    many = (Q_(np.linspace(0.5, 3, 1000), "percent"), *one[1:])
    bare = (0.015, 9000.0, 0.01, 2)
    by_hand = lambda: (one[1].to("Pa") * (one[0].to("") / one[2].to("")).m ** one[3]).to("kPa")
    costs = {"bare core": microseconds(lambda: core(*bare)), "model.si": microseconds(lambda: law.si(*bare)),
             "through the door": microseconds(lambda: law(*one)), "through the door, other units": microseconds(lambda: law(*other)),
             "through the door, 1000 doses": microseconds(lambda: law(*many)), "pint by hand": microseconds(by_hand)}
    for what, cost in costs.items():
        print(f"{what:<30} {cost:8.2f} µs   {cost / costs['bare core']:7.1f} times the bare core")


if __name__ == "__main__":
    main()
