"""Lesson 05, heat in the brakes themselves: steady drag against short applications, and what the fluid meets
after the stop.
"""

from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.lessons.l05_brakes.descent_budget import (
    AIR_DENSITY_KG_M3,
    FADE_INDEX_C,
    boiling_points_c,
    demo_pair,
    spaced,
)
from towlib.physics.brakes.brake_fluid import FluidSide, Soak, heat_soak
from towlib.physics.brakes.brake_heat import cooling_conductance_w_k
from towlib.physics.brakes.brake_surface import Applications, applications
from towlib.units import from_si, number, show, unit_label

RUBBED_AREA_M2 = 0.20  # from memory: four swept rings of two front discs
AIR_C, TIME_S = 25.0, 600.0


class DragOrSnub(NamedTuple):
    """What the panel shows: the same mean power two ways."""

    drag: Applications
    snub: Applications
    on_share: float


def drag_or_snub(
    *, power_w: float, on_share: float, period_s: float, speed_m_s: float, depth_m: float
) -> DragOrSnub:
    """Ten minutes of the same mean power into the front brakes, steadily and in short applications."""
    front = demo_pair().brakes[0]
    cooled = cooling_conductance_w_k(
        front, speed_m_s, brake_c=200.0, air_c=AIR_C, air_density_kg_m3=AIR_DENSITY_KG_M3
    )

    def braked(share: float, points: int) -> Applications:
        return applications(
            power_w,
            on_share=share,
            period_s=period_s,
            heat_capacity_j_k=front.heated_mass_kg * front.specific_heat_j_kg_k,
            conductance_w_k=cooled,
            rubbed_area_m2=RUBBED_AREA_M2,
            depth_m=depth_m,
            air_c=AIR_C,
            start_c=AIR_C,
            time_s=TIME_S,
            points=points,
        )

    return DragOrSnub(braked(1.0, 40), braked(on_share, 4), on_share)


def drag_or_snub_words(result: DragOrSnub, system: str) -> str:
    """The sentence under the panel."""
    drag, snub = result.drag, result.snub
    return (
        "After ten minutes of steady drag the discs are at"
        f" {show(drag.hottest_mean_c, 'temperature', system)}; the face peaks at"
        f" {show(drag.hottest_face_c, 'temperature', system)} then, and at"
        f" {show(snub.hottest_face_c, 'temperature', system)} in short applications, with brakes on"
        f" {number(100 * result.on_share, 2)} % of the time. Only less mean power makes cooler brakes: a"
        " lower gear."
    )


class DragOrSnubDrawing:
    """Left: mean of the front discs over ten minutes. Right: the last two minutes, counted from the mean
    under steady drag.
    """

    size_in, frames, widths = (10.0, 3.8), 2, (1.0, 1.3)
    HIGHEST_C, MOST_K, ZOOM_S = 800.0, 100.0, 120.0

    def build(self, picture: Picture, system: str) -> None:
        """Frames and named parts."""
        end = from_si(TIME_S, "time", system)
        picture.frame(
            0,
            title="Mean of the front discs",
            x_label=f"time [{unit_label('time', system)}]\nsolid: steady drag; dash-dot: short",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, end),
            y=(0.0, from_si(self.HIGHEST_C, "temperature", system)),
        )
        most = from_si(self.MOST_K, "temperature_difference", system)
        picture.frame(
            1,
            title="Last two minutes, above the mean under steady drag",
            x_label=(
                f"time [{unit_label('time', system)}]\nsolid: drag; short applications: dashes face, dash-dot"
                " mean"
            ),
            y_label=f"difference [{unit_label('temperature_difference', system)}]",
            x=(from_si(TIME_S - self.ZOOM_S, "time", system), end),
            y=(-most, 1.5 * most),
        )
        fade = from_si(FADE_INDEX_C, "temperature", system)
        picture.fixed_line(0, [0.0, end], [fade, fade])
        picture.words("fade name", 0)
        picture.say(
            "fade name",
            "fade index",
            0.02 * end,
            fade + 0.04 * from_si(self.HIGHEST_C, "temperature", system),
        )
        for name, style in (("steady drag", 0), ("short applications", 2)):
            picture.line(f"{name} mean", 0, style)
            picture.line(f"{name} face", 1, 0 if style == 0 else 1)
        picture.line("zoomed mean", 1, 2)

    def update(self, picture: Picture, result: DragOrSnub, system: str) -> None:
        """Move the parts to a result."""
        top, most = self.HIGHEST_C, self.MOST_K
        drag, snub = result.drag, result.snub
        for name, way in (("steady drag", drag), ("short applications", snub)):
            picture.move(
                f"{name} mean",
                [from_si(t, "time", system) for t in way.time_s],
                [from_si(min(c, top), "temperature", system) for c in way.mean_c],
            )
        first = next(i for i, t in enumerate(snub.time_s) if t >= TIME_S - self.ZOOM_S - 1e-6)
        for name, way, column, start in (
            ("short applications face", snub, snub.face_c, first),
            ("zoomed mean", snub, snub.mean_c, first),
            ("steady drag face", drag, drag.face_c, 0),
        ):
            times = [t for t in way.time_s[start:] if TIME_S - self.ZOOM_S <= t <= TIME_S]
            steady = np.interp(times, drag.time_s, drag.mean_c)
            above = np.clip(np.interp(times, way.time_s, column) - steady, -most, 1.5 * most)
            picture.move(
                name,
                [from_si(t, "time", system) for t in times],
                [from_si(k, "temperature_difference", system) for k in above],
            )


class HeatSoak(NamedTuple):
    """What the panel shows."""

    soak: Soak
    fluid: str
    boils_c: float


def heat_soak_panel(
    *, disc_c: float, fluid_start_c: float, from_disc_w_k: float, fluid: str, air_temperature_c: float
) -> HeatSoak:
    """An hour after the stop at the foot: the wagon's front discs and their fluid."""
    if fluid_start_c > disc_c:
        raise ValueError(
            "on the way down the fluid is never hotter than the disc; lower the fluid or raise the disc"
        )
    soak = heat_soak(
        demo_pair().brakes[0],
        disc_c,
        fluid_c=fluid_start_c,
        air_c=air_temperature_c,
        side=FluidSide(from_disc_w_k=from_disc_w_k),
        air_density_kg_m3=AIR_DENSITY_KG_M3,
        step_s=60.0,
    )
    return HeatSoak(soak, fluid, boiling_points_c()[fluid])


def heat_soak_panel_words(result: HeatSoak, system: str) -> str:
    """The sentence under the panel."""
    soak = result.soak
    when = (
        "at the moment of stopping"
        if soak.highest_at_s == 0
        else f"{show(soak.highest_at_s, 'time', system)} after the stop"
    )
    apart = result.boils_c - soak.highest_fluid_c
    answer = "below" if apart >= 0 else "over"
    room = show(abs(apart), "temperature_difference", system)
    return (
        f"The fluid is hottest {when}, about {show(soak.highest_fluid_c, 'temperature', system)}: {room}"
        f" {answer} the least boiling point of {result.fluid} fluid,"
        f" {show(result.boils_c, 'temperature', system)}. This is an estimate: how fast heat reaches the"
        " fluid is from memory."
    )


class HeatSoakDrawing:
    """Disc and fluid over the hour after the stop, with the boiling points of the fluid chosen."""

    size_in, frames = (9.0, 3.8), 1
    HIGHEST_C = 700.0

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        end = from_si(3600.0, "time", system)
        picture.frame(
            0,
            title="After the stop: the disc cools, the fluid goes on warming",
            x_label=f"time after the stop [{unit_label('time', system)}]",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, 1.25 * end),
            y=(0.0, from_si(self.HIGHEST_C, "temperature", system)),
        )
        for name, style in (("front discs", 1), ("fluid, estimate", 0)):
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True)
        picture.reference("boils", 0)
        picture.words("boils name", 0)
        picture.point("hottest", 0, 0)

    def update(self, picture: Picture, result: HeatSoak, system: str) -> None:
        """Move the parts to a result."""
        end, top = from_si(3600.0, "time", system), from_si(self.HIGHEST_C, "temperature", system)
        soak, boils = result.soak, from_si(result.boils_c, "temperature", system)
        x = [from_si(t, "time", system) for t in soak.time_s]
        ends = [(boils, "boils")]
        for name, column in (("front discs", soak.disc_c), ("fluid, estimate", soak.fluid_c)):
            y = [from_si(t, "temperature", system) for t in column]
            picture.move(name, x, y)
            ends.append((y[-1], name))
        picture.move("boils", [0.0, end], [boils, boils])
        picture.move(
            "hottest",
            [from_si(soak.highest_at_s, "time", system)],
            [from_si(soak.highest_fluid_c, "temperature", system)],
        )
        for y, name in spaced(sorted(ends), 0.07 * top, low=0.04 * top, high=0.96 * top):
            picture.say(f"{name} name", f" {result.fluid} boils" if name == "boils" else f" {name}", end, y)
