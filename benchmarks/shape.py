"""How long predicting a shape takes, and how well lengths and bodies come out.

    python -m benchmarks.shape

Or `shapes()` from the whole set. Wanted: 2,000 bubbles under 3 s, 20,000 under 60 s,
length error under 1 %, overlap under 5 % of the diameter, also from disturbed starts.
"""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np

from airweft.records.arrays import points
from airweft.records.design import Box, Tube
from airweft.records.net import Net
from airweft.shape.predict import predict
from airweft.shape.rigidity import rigidity
from airweft.shape.soft import softest
from benchmarks.nets.case import BUBBLE
from benchmarks.nets.make import fabric

_BROAD_MM = 50.8

CASES: tuple[tuple[str, Box | Tube, float], ...] = (
    ("box 6x6x6", Box(across=6, deep=6, high=6), 0.0),
    ("box 6x6x6, disturbed", Box(across=6, deep=6, high=6), 0.3),
    ("tube 18x12", Tube(around=18, rows=12), 0.0),
    ("box 18x18x18", Box(across=18, deep=18, high=18), 0.0),
    ("box 18x18x18, disturbed", Box(across=18, deep=18, high=18), 0.3),
    ("tube 50x40", Tube(around=50, rows=40), 0.0),
    ("box 58x58x58", Box(across=58, deep=58, high=58), 0.0),
    ("tube 160x126", Tube(around=160, rows=126), 0.0),
)


def shapes(*, largest: int = 30_000) -> None:
    """Print the table; cases with more than `largest` bubbles are left out."""
    print("\n## Predicted shapes (260, bubbles of 25 mm; processor seconds)\n")
    print(f"{'net':26} {'stand':6} {'bubbles':>7} {'steps':>6} {'seconds':>8} {'length error':>14} "
          f"{'overlap':>8} {'rest':>5}")  # fmt: skip
    for name, form, noise in CASES:
        net = _net(form, noise)
        if net.bubble_count > largest:
            continue
        for stand in ("free", "table"):
            begin = time.process_time()
            shape = predict(net, diameter_mm=_BROAD_MM, stand=stand)  # type: ignore[arg-type]
            seconds = time.process_time() - begin
            most, mean = shape.length_error
            print(f"{name:26} {stand:6} {net.bubble_count:7} {shape.iterations:6} {seconds:8.2f} "
                  f"{mean:6.2%} {most:7.2%} {shape.worst_overlap:8.1%} "
                  f"{'yes' if shape.converged else 'no':>5}")  # fmt: skip
        if noise == 0:
            begin = time.process_time()
            counted = rigidity(net)
            middle = time.process_time()
            softest(net, shape)
            end = time.process_time()
            print(f"{'':26} mechanisms {counted.mechanisms}, self-stresses "
                  f"{counted.self_stresses}: {middle - begin:.2f} s; softest ways: "
                  f"{end - middle:.2f} s")  # fmt: skip


def _net(form: Box | Tube, noise: float) -> Net:
    net = fabric(form)
    moved = np.random.default_rng(1).normal(size=net.joints.shape) * (noise * BUBBLE / 100)
    return replace(net, joints=points(net.joints + moved))


if __name__ == "__main__":
    shapes()
