"""Lesson 05, heat in the brakes themselves: steady drag against short applications, and what the fluid meets
after the stop.
"""

from typing import NamedTuple

import numpy as np

from towlib.draw.figures import Picture
from towlib.lessons.declare import with_values
from towlib.lessons.l05_brakes.descent_budget import (
    AIR_DENSITY_KG_M3,
    boiling_points_c,
    braked_pair,
    fluid_side,
    front_brakes,
    spaced,
)
from towlib.physics.brakes.brake_fluid import Soak, heat_soak
from towlib.physics.brakes.brake_heat import cooling_conductance_w_k
from towlib.physics.brakes.brake_surface import Applications, applications
from towlib.rig.facts import Facts
from towlib.units import from_si, number, show, unit_label

TIME_S = 600.0


class DragOrSnub(NamedTuple):
    """What the panel shows: the same mean power two ways."""

    drag: Applications
    snub: Applications
    on_share: float
    fade_c: float


def drag_or_snub(
    facts: Facts, *, power_w: float, on_share: float, period_s: float, speed_m_s: float
) -> DragOrSnub:
    """Ten minutes of the same mean power into the front brakes, steadily and in short applications."""
    front, air_c = front_brakes(braked_pair(facts)), facts.need("conditions.air_temperature")
    area_m2 = facts.need("tow_vehicle.brakes.front_rubbed_area")
    depth_m = facts.need("tow_vehicle.brakes.front_face_depth")
    cooled = cooling_conductance_w_k(
        front, speed_m_s, brake_c=200.0, air_c=air_c, air_density_kg_m3=AIR_DENSITY_KG_M3
    )

    def braked(share: float, points: int) -> Applications:
        return applications(
            power_w,
            on_share=share,
            period_s=period_s,
            heat_capacity_j_k=front.heated_mass_kg * front.specific_heat_j_kg_k,
            conductance_w_k=cooled,
            rubbed_area_m2=area_m2,
            depth_m=depth_m,
            air_c=air_c,
            start_c=air_c,
            time_s=TIME_S,
            points=points,
        )

    return DragOrSnub(
        braked(1.0, 40), braked(on_share, 4), on_share, facts.need("tow_vehicle.brakes.highest_front")
    )


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


def drag_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fifth panel."""

    def ten_minutes(share: float, power_w: float = 7000.0) -> DragOrSnub:
        return drag_or_snub(facts, power_w=power_w, on_share=share, period_s=45.0, speed_m_s=45 / 3.6)

    def c(value: float) -> str:
        return show(value, "temperature", system)

    fifth, tenth = ten_minutes(0.2), ten_minutes(0.1)
    return (
        f"The mean of the disc hardly cares how {show(7000.0, 'power', system)} goes in: its face peaks at"
        f" {c(fifth.drag.hottest_face_c)} under steady drag, and at {c(fifth.snub.hottest_face_c)} or"
        f" {c(tenth.snub.hottest_face_c)} with the brakes on for a fifth or a tenth of the time. **Short"
        " applications do not make cooler brakes by themselves; half the power does:"
        f" {c(ten_minutes(0.2, 3500.0).drag.hottest_face_c)}.** Their use is another one (common practice, no"
        " source): between them the linings get air, you feel at once when the brakes hold less, and a driver"
        " who lets go finds the lower gear."
    )


class DragOrSnubDrawing:
    """Left: mean of the front discs over ten minutes. Right: the last two minutes, counted from the mean
    under steady drag.
    """

    size_in, frames, widths = (10.0, 3.8), 2, (1.0, 1.3)
    HIGHEST_C, WARM_C, MOST_K, FEW_K, ZOOM_S = 800.0, 400.0, 100.0, 40.0, 120.0

    def build(self, picture: Picture, system: str) -> None:
        """Named parts."""
        picture.reference("fade", 0)
        picture.words("fade name", 0, align="right")
        for name, style in (("steady drag", 0), ("short applications", 2)):
            picture.line(f"{name} mean", 0, style)
            picture.line(f"{name} face", 1, 0 if style == 0 else 1)
        picture.line("zoomed mean", 1, 2)

    def _frames(self, picture: Picture, system: str, *, highest_c: float, most_k: float) -> None:
        """Frames of one of two sizes; what goes higher is cut off."""
        end = from_si(TIME_S, "time", system)
        picture.frame(
            0,
            title="Mean of the front discs",
            x_label=f"time [{unit_label('time', system)}]; solid: steady drag; dash-dot: short",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, end),
            y=(0.0, from_si(highest_c, "temperature", system)),
        )
        most = from_si(most_k, "temperature_difference", system)
        picture.frame(
            1,
            title="Last two minutes, above the mean under steady drag",
            x_label=f"time [{unit_label('time', system)}]; solid: drag; short: dashes face, dash-dot mean",
            y_label=f"difference [{unit_label('temperature_difference', system)}]",
            x=(from_si(TIME_S - self.ZOOM_S, "time", system), end),
            y=(-most, 1.5 * most),
        )

    def update(self, picture: Picture, result: DragOrSnub, system: str) -> None:
        """Move the parts to a result."""
        drag, snub = result.drag, result.snub
        hottest = max(drag.hottest_mean_c, snub.hottest_mean_c, result.fade_c)
        top = self.WARM_C if hottest < 0.9 * self.WARM_C else self.HIGHEST_C
        above = snub.hottest_face_c - drag.hottest_mean_c
        most = self.FEW_K if above < 1.4 * self.FEW_K else self.MOST_K
        self._frames(picture, system, highest_c=top, most_k=most)
        end, fade = (from_si(TIME_S, "time", system), from_si(min(result.fade_c, top), "temperature", system))
        picture.move("fade", [0.0, end], [fade, fade])
        below = drag.hottest_mean_c > result.fade_c  # clear of the curves' ends
        gap = 0.045 * from_si(top, "temperature", system) * (-1 if below else 1)
        picture.say("fade name", "front linings fade", 0.99 * end, fade + gap)
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
            rise = np.clip(np.interp(times, way.time_s, column) - steady, -most, 1.5 * most)
            picture.move(
                name,
                [from_si(t, "time", system) for t in times],
                [from_si(k, "temperature_difference", system) for k in rise],
            )


class HeatSoak(NamedTuple):
    """What the panel shows."""

    soak: Soak
    fluid: str
    boils_c: float
    after_s: float


def heat_soak_panel(facts: Facts, *, disc_c: float, fluid_start_c: float, after_s: float) -> HeatSoak:
    """An hour after the stop at the foot: the front discs and their fluid."""
    if fluid_start_c > disc_c:
        raise ValueError(
            "on the way down the fluid is never hotter than the disc; lower the fluid or raise the disc"
        )
    soak = heat_soak(
        front_brakes(braked_pair(facts)),
        disc_c,
        fluid_c=fluid_start_c,
        air_c=facts.need("conditions.air_temperature"),
        side=fluid_side(facts),
        air_density_kg_m3=AIR_DENSITY_KG_M3,
        step_s=60.0,
    )
    fluid = facts.need("tow_vehicle.brakes.fluid")
    return HeatSoak(soak, fluid, boiling_points_c()[fluid], after_s)


def heat_soak_panel_words(result: HeatSoak, system: str) -> str:
    """The sentence under the panel."""
    soak = result.soak
    when = (
        "at the moment of stopping"
        if soak.highest_at_s == 0
        else f"{show(soak.highest_at_s, 'time', system)} after the stop"
    )
    apart = result.boils_c - soak.highest_fluid_c
    room = show(abs(apart), "temperature_difference", system)
    disc, fluid = (
        show(float(np.interp(result.after_s, soak.time_s, column)), "temperature", system)
        for column in (soak.disc_c, soak.fluid_c)
    )
    return (
        f"The fluid is hottest {when}, about {show(soak.highest_fluid_c, 'temperature', system)},"
        f" {'within' if apart >= 0 else 'over'} by {room} against the least boiling point of {result.fluid}"
        f" fluid, {show(result.boils_c, 'temperature', system)}. An estimate: how fast heat reaches the"
        f" fluid is not checked against a document. After {show(result.after_s, 'time', system)}: discs"
        f" {disc}, fluid {fluid}."
    )


def heat_soak_rooms(result: HeatSoak) -> dict[str, float]:
    """Room of the fluid to its boiling point."""
    return {"fluid": result.boils_c - result.soak.highest_fluid_c}


def heat_soak_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the sixth panel."""

    def soaked(w_k: float | None = None) -> Soak:
        values = {} if w_k is None else {"tow_vehicle.brakes.caliper_conductance": w_k}
        return heat_soak_panel(
            with_values(facts, values), disc_c=480.0, fluid_start_c=110.0, after_s=0.0
        ).soak

    def c(value: float) -> str:
        return show(value, "temperature", system)

    ours, low, high = soaked(), soaked(1.0), soaked(8.0)
    between = [
        name
        for name, boils in boiling_points_c().items()
        if low.highest_fluid_c < boils < high.highest_fluid_c
    ]
    decides = f"; between these two boil {', '.join(sorted(between))}" if between else ""
    return (
        "The disc cools from the first minute, and the fluid goes on warming for"
        f" {show(ours.highest_at_s, 'time', system)}, from {c(110.0)} to about {c(ours.highest_fluid_c)}."
        " **A pedal can go soft *after* the rest stop**, and old fluid, which has drawn water, boils first."
        " How fast heat reaches the fluid nobody has measured here: with 1 to 8 W/K it is"
        f" {c(low.highest_fluid_c)} to {c(high.highest_fluid_c)}{decides}. So this never decides: brake"
        " little before a stop, and try the pedal before you move off."
    )


class HeatSoakDrawing:
    """Disc and fluid over the hour after the stop, with the boiling point of the fluid."""

    size_in, frames = (9.0, 3.8), 1
    narrow_in = (4.9, 3.7)
    HIGHEST_C = 700.0

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        end = from_si(3600.0, "time", system)
        picture.frame(
            0,
            title="After the stop: the disc cools, the fluid goes on warming",
            x_label=f"time after the stop [{unit_label('time', system)}]",
            y_label=f"temperature [{unit_label('temperature', system)}]",
            x=(0.0, (1.5 if picture.narrow else 1.28) * end),
            y=(0.0, from_si(self.HIGHEST_C, "temperature", system)),
        )
        for name, style in (("front discs", 1), ("fluid, estimate", 0)):
            picture.line(name, 0, style)
            picture.words(f"{name} name", 0, style=style, bold=True)
        picture.reference("boils", 0)
        picture.words("boils name", 0)
        picture.reference("now", 0)
        picture.point("front discs now", 0, 1)
        picture.point("fluid, estimate now", 0, 0)

    def update(self, picture: Picture, result: HeatSoak, system: str) -> None:
        """Move the parts to a result."""
        end, top = from_si(3600.0, "time", system), from_si(self.HIGHEST_C, "temperature", system)
        soak, boils = result.soak, from_si(result.boils_c, "temperature", system)
        x = [from_si(t, "time", system) for t in soak.time_s]
        now = from_si(result.after_s, "time", system)
        picture.move("now", [now, now], [0.0, top])
        ends = [(boils, "boils")]
        for name, column in (("front discs", soak.disc_c), ("fluid, estimate", soak.fluid_c)):
            y = [from_si(t, "temperature", system) for t in column]
            picture.move(name, x, y)
            picture.move(f"{name} now", [now], [float(np.interp(now, x, y))])
            ends.append((y[-1], name))
        picture.move("boils", [0.0, end], [boils, boils])
        for y_name, name in spaced(sorted(ends), 0.07 * top, low=0.04 * top, high=0.96 * top):
            words = f" {result.fluid} boils" if name == "boils" else f" {name}"
            picture.say(f"{name} name", words, end, y_name)
