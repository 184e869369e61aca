"""Outlines of the invented vehicles for the drawings, in metres: x ahead of a wheel's contact point, height
above the road.
"""

import math
from collections.abc import Sequence

Points = list[tuple[float, float]]

WHEEL_CORNERS = 28
TOW_WHEEL_M, TOWED_WHEEL_M = 0.388, 0.350  # rolling radii of the invented pair


def wheel(centre: tuple[float, float], radius_m: float) -> Points:
    """A wheel as a closed outline."""
    return [
        (
            centre[0] + radius_m * math.cos(2 * math.pi * i / WHEEL_CORNERS),
            centre[1] + radius_m * math.sin(2 * math.pi * i / WHEEL_CORNERS),
        )
        for i in range(WHEEL_CORNERS + 1)
    ]


def pickup_from_rear_axle(overhang_m: float, wheelbase_m: float) -> Points:
    """A pickup's body seen from its right side, counted from the rear axle; the bumper ends a little ahead of
    the ball.
    """
    back, nose, base = -overhang_m + 0.22, wheelbase_m + 0.85, wheelbase_m
    return [
        (back, 0.55),
        (back, 1.08),
        (0.30 * base, 1.08),
        (0.33 * base, 1.78),
        (0.62 * base, 1.80),
        (0.80 * base, 1.22),
        (nose - 0.10, 1.12),
        (nose, 0.90),
        (nose, 0.50),
        (back, 0.50),
    ]


def off_roader_from_front_axle(wheelbase_m: float) -> Points:
    """A light off-roader's body counted from its front axle."""
    nose, tail = 0.42, -wheelbase_m - 0.50
    return [
        (nose, 0.52),
        (nose, 1.02),
        (-0.75, 1.10),
        (-0.95, 1.66),
        (tail + 0.10, 1.68),
        (tail, 1.10),
        (tail, 0.52),
    ]


def placed(
    points: Sequence[tuple[float, float]], origin: Sequence[float], pitch_rad: float = 0.0
) -> tuple[list[float], list[float]]:
    """Points turned by a pitch (nose up positive) and moved to an origin, as two lists."""
    cosine, sine = math.cos(pitch_rad), math.sin(pitch_rad)
    return (
        [origin[0] + x * cosine - y * sine for x, y in points],
        [origin[1] + x * sine + y * cosine for x, y in points],
    )


def beam(start: Sequence[float], end: Sequence[float], depth: float) -> tuple[list[float], list[float]]:
    """A bar of some depth between two points, as a closed outline."""
    length = math.dist(start, end) or 1.0
    across, up = -(end[1] - start[1]) / length * depth / 2, (end[0] - start[0]) / length * depth / 2
    corners = [
        (start[0] + across, start[1] + up),
        (end[0] + across, end[1] + up),
        (end[0] - across, end[1] - up),
        (start[0] - across, start[1] - up),
    ]
    return [x for x, _ in corners], [y for _, y in corners]
