"""What a panel knows, without any widget: values in SI, units, rig, result, sentence and picture."""

import itertools
import math
from collections.abc import Callable, Generator, Iterator, Mapping, Sequence
from typing import Any

from towlib.draw.figures import NARROW_IN, Picture
from towlib.errors import InputError
from towlib.lessons.declare import Panel, Rooms
from towlib.lessons.slider_rows import PLAIN_KINDS, WHOLE_KINDS, PanelSpec, Slider
from towlib.limits.derived import DERIVED
from towlib.limits.limit import Doubt
from towlib.rig.facts import CaseFacts, Facts, NotKnown
from towlib.rig.model import Rig, field_info, label_of
from towlib.teaching.panel.panel_doubt import doubt_of, in_doubt
from towlib.units import SYSTEMS, number, to_si

MOST_CORNERS = 64
NARROW_FRAME_IN = 3.1  # height of one frame on a phone, where a drawing does not say its own
NARROW_ZOOM = 1.5  # a phone has finer pixels

RigSource = Callable[[str], Rig]  # the name of the invented rig of a panel -> the rig to show


class PanelState:
    """The panel's mind: the physics gets SI floats and never notices which units are shown."""

    def __init__(
        self,
        spec: PanelSpec,
        panel: Panel,
        rig_of: RigSource,
        *,
        system: str = "metric",
        settings: Mapping[str, str] | None = None,
        zoom: float = 1.0,
        narrow: bool = False,
    ):
        self._rows, self._panel, self._rig_of = spec, panel, rig_of
        self._drawing = panel.drawing()
        self.system, self.zoom, self.narrow = _known_system(system), zoom, narrow
        self._drawn: dict[str, float] | None = (
            None  # the values the picture shows; not those of an impossible setting
        )
        self._kept: list[dict[str, float]] = []
        self.result: Any = None
        self.sentence_text = ""  # by the values as they stand
        self._doubt: Doubt | None = None
        self._tries: Generator[None, None, Doubt | None] | None = None
        self.failed = False
        self.missing: tuple[str, ...] = ()  # fields of the rig that the panel lacks
        self._new_picture()
        self._take_rig()
        for name, text in (settings or {}).items():
            self.set_text(name, text)
        self.update()

    def _take_rig(self) -> None:
        """The sliders at the values of the rig in use; without a rig, only what it lacks is known."""
        self._facts: Facts | None = None
        self._lacking: tuple[str, ...] = ()
        self.spec = self._rows._replace(sliders=())
        try:
            self._facts = Facts(self._rig_of(self._rows.demo))
        except InputError as error:
            of_rig = (error.field,) if _is_field(error.field) else ()
            self._lacking = getattr(error, "missing", of_rig)
            self._why = str(error)
        if self._facts is not None:
            self.spec, self._lacking = self._rows.starting_from(self._facts)
        self.values = {slider.name: slider.start for slider in self.spec.sliders}

    def use_rig(self, rig_of: RigSource) -> None:
        """Start from another rig, or from the same one after a change; kept curves are dropped."""
        self._rig_of = rig_of
        self.drop_kept()
        self._take_rig()
        self.update()

    def _new_picture(self) -> None:
        drawing, size = self._drawing, self._drawing.size_in
        if self.narrow:
            size = getattr(drawing, "narrow_in", (NARROW_IN, NARROW_FRAME_IN * drawing.frames))
        self.picture = Picture(
            size,
            frames=drawing.frames,
            widths=getattr(drawing, "widths", None),
            zoom=self.zoom * (NARROW_ZOOM if self.narrow else 1.0),
            narrow=self.narrow,
        )
        drawing.build(self.picture, self.system)

    def slider(self, name: str) -> Slider:
        """The slider of this name, label, or name without its unit ('towed_mass' for 'towed_mass_kg')."""
        found = [s for s in self.spec.sliders if name in (s.name, s.label, s.name.rpartition(".")[2])] or [
            s
            for s in self.spec.sliders
            if s.kind not in PLAIN_KINDS and any(s.name == f"{name}_{unit}" for unit in _NAME_ENDINGS)
        ]
        if len(found) == 1:
            return found[0]
        raise InputError(
            f"no slider '{name}'", f"one of {', '.join(s.name for s in self.spec.sliders)}", field="settings"
        )

    def set(self, name: str, value_si: float) -> str:
        """Move a slider; outside its range it stops at the end and the sentence returned says so."""
        slider = self.slider(name)
        if not math.isfinite(value_si):
            return (
                f"{slider.label} needs a number; it stays at"
                f" {self.shown_text(slider, self.values[slider.name])}."
            )
        if slider.kind in WHOLE_KINDS:
            value_si = float(round(value_si))
        clipped = min(max(value_si, slider.low), slider.high)
        self.values[slider.name] = clipped
        if abs(clipped - value_si) > 1e-9 * max(1.0, abs(value_si)):
            return (
                f"{slider.label} goes from {self.shown_text(slider, slider.low)} to"
                f" {self.shown_text(slider, slider.high)}; set to the nearer end."
            )
        return ""

    def set_shown(self, name: str, value: float) -> str:
        """Move a slider to a number in the units shown."""
        slider = self.slider(name)
        return self.set(name, slider.from_shown(value, self.system))

    def set_text(self, name: str, text: str) -> str:
        """Move a slider to a text such as '300 kg', '12' for a count, or the words of an option."""
        slider = self.slider(name)
        try:
            return self.set(name, _read(slider, text))
        except InputError as error:
            raise error.at(field=name) from None

    def shown(self, slider: Slider, value_si: float) -> float:
        """A value in the units shown."""
        return slider.shown(value_si, self.system)

    def unit(self, slider: Slider) -> str:
        """The unit shown, '' for a count, a choice and a switch."""
        return slider.unit(self.system)

    def shown_text(self, slider: Slider, value_si: float) -> str:
        """A value with its unit as text."""
        if slider.options:
            return slider.options[round(value_si)]
        return f"{number(self.shown(slider, value_si), 4)} {self.unit(slider)}".strip()

    def use_system(self, system: str) -> None:
        """Show other units; the SI values stay as they are, and kept curves are drawn again."""
        if _known_system(system) != self.system:
            self.system = system
            self._redrawn()
        self.update()

    def use_zoom(self, zoom: float) -> None:
        """Show everything larger or smaller, letters and all; kept curves are drawn again."""
        if zoom != self.zoom:
            self.zoom = zoom
            self._redrawn()
        self.update()

    def use_narrow(self, narrow: bool) -> None:
        """Show the picture for a phone, its frames one below the other, or as usual."""
        if narrow != self.narrow:
            self.narrow = narrow
            self._redrawn()
        self.update()

    def _redrawn(self) -> None:
        self._new_picture()
        for number_, values in enumerate(self._kept, start=1):
            self._draw(values)
            self.picture.keep(f"kept {number_}")
        if self._drawn is not None:
            self._draw(self._drawn)

    def keep(self) -> int:
        """Leave the present curves behind in grey; returns how many sets are kept."""
        if self._drawn is not None:
            self._kept.append(dict(self._drawn))
            self.picture.keep(f"kept {len(self._kept)}")
        return len(self._kept)

    def drop_kept(self) -> None:
        """Remove what was kept."""
        self._kept.clear()
        self.picture.drop_kept()

    def reset(self) -> None:
        """Back to the starts, and kept curves dropped."""
        self.values = {slider.name: slider.start for slider in self.spec.sliders}
        self.drop_kept()
        self.update()

    def update(self) -> None:
        """Compute and move the picture; an impossible setting becomes a sentence and the picture stays."""
        self.missing, self.failed, self._doubt, self._tries = self._lacking, True, None, None
        if self._facts is None:
            self.sentence_text = f"Not known: {self._why}"
            return
        try:
            facts = self.facts(self.values)
            self.result, read = facts.assumed_in(lambda: self._result(facts, self.values))
            self.sentence_text = self._panel.words(self.result, self.system)
            self.failed = False
        except NotKnown as unknown:
            self.missing = tuple(dict.fromkeys((*self._lacking, *_fields_in(unknown.reason))))
            self.sentence_text = f"Not known: {not_known_words(unknown.reason)}"
            return
        except ValueError as error:  # InputError is one
            self.sentence_text = f"Not possible: {error}"
            return
        self._drawing.update(self.picture, self.result, self.system)
        self._drawn = dict(self.values)
        if read and self._panel.rooms:
            self._tries = self._tried(facts, self._panel.rooms, read)

    def _tried(
        self, facts: Facts, rooms: Callable[[Any], Rooms], read: Sequence[str]
    ) -> Generator[None, None, Doubt | None]:
        values = dict(self.values)
        return doubt_of(lambda other: rooms(self._result(other, values)), facts, rooms(self.result), read)

    @property
    def trying(self) -> bool:
        """Whether there is still something assumed to be tried."""
        return self._tries is not None

    def try_on(self) -> None:
        """Try one more end of what is assumed, if there is any left."""
        if self._tries is not None:
            try:
                next(self._tries)
            except StopIteration as end:
                self._doubt, self._tries = end.value, None

    @property
    def told_now(self) -> str:
        """The sentence as far as it can be said at once: what is assumed may not be tried yet."""
        if self.trying:
            return f"{self.sentence_text} (What is assumed is still being tried.)"
        return in_doubt(self._doubt, self.sentence_text)

    @property
    def told(self) -> str:
        """The sentence, its answer not known where something assumed could turn it."""
        while self.trying:
            self.try_on()
        return self.told_now

    def fail(self, error: Exception) -> None:
        """One plain sentence for an error nobody expected; the picture stays."""
        self._doubt, self._tries = None, None
        self.sentence_text, self.failed = (
            f"This setting could not be computed ({type(error).__name__}: {error}).",
            True,
        )

    def facts(self, values: Mapping[str, float] | None = None) -> Facts:
        """What is known of the rig with the sliders where they are."""
        assert self._facts is not None
        values = self.values if values is None else values
        moved = {
            slider.name: slider.argument(values[slider.name])
            for slider in self.spec.sliders
            if slider.of_rig and values[slider.name] != slider.start
        }
        return CaseFacts(self._facts.rig, moved) if moved else Facts(self._facts.rig)

    def _result(self, facts: Facts, values: Mapping[str, float]) -> Any:
        arguments = {s.name: s.argument(values[s.name]) for s in self.spec.sliders if not s.of_rig}
        return self._panel.compute(facts, **arguments)

    def moved_fields(self) -> dict[str, tuple[str, str]]:
        """Fields of the rig file whose slider was moved: the start as text, and the present value."""
        return {
            s.name: (_text_of(s, s.start, self.system), _text_of(s, self.values[s.name], self.system))
            for s in self.spec.sliders
            if s.kept_in_rig and self.values[s.name] != s.start
        }

    def _draw(self, values: Mapping[str, float]) -> None:
        self._drawing.update(self.picture, self._result(self.facts(values), values), self.system)

    def settings_words(self) -> str:
        """The settings in words, each as it can be typed again."""
        return "Settings: " + "; ".join(f"{s.label} {self._exact(s)}" for s in self.spec.sliders) + "."

    def _exact(self, slider: Slider) -> str:
        """The shortest text that reads back as the same value: in the units shown, else in the other
        system's.
        """
        return _exact_text(slider, self.values[slider.name], self.system)

    def corners(self) -> Iterator[dict[str, float]]:
        """The start, then every corner of the ranges (every option of a choice).

        Beyond 64 corners, 64 are taken: the last one, and 63 in strides near the golden section of their
        number, a stride without common factor, so that no slider stands at one end only and the same corners
        are taken every time.
        """
        names = [slider.name for slider in self.spec.sliders]
        ends = [range(len(s.options)) if s.options else (s.low, s.high) for s in self.spec.sliders]
        corners = list(itertools.product(*ends))
        total = len(corners)
        if total > MOST_CORNERS:
            stride = next(step for step in range(round(0.618 * total), total) if math.gcd(step, total) == 1)
            order = [i * stride % total for i in range(MOST_CORNERS)]
            corners = [corners[i] for i in order if i != total - 1][: MOST_CORNERS - 1] + [corners[-1]]
        yield {slider.name: slider.start for slider in self.spec.sliders}
        for corner in corners:
            yield dict(zip(names, map(float, corner), strict=True))


def _known_system(system: str) -> str:
    if system not in SYSTEMS:
        raise InputError(f"'{system}'", "'metric' or 'us'", field="system")
    return system


def _exact_text(slider: Slider, value: float, first_system: str) -> str:
    if slider.kind in PLAIN_KINDS:
        return slider.options[round(value)] if slider.options else f"{value:.10g}"
    for digits in (6, 12):
        for system in (first_system, *SYSTEMS):
            unit = slider.unit(system)
            if slider.kind == "temperature_difference" and unit == "°F":
                unit = "delta_degF"
            text = f"{slider.shown(value, system):.{digits}g} {_SPELLED.get(unit, unit)}"
            if math.isclose(_read(slider, text), value, rel_tol=1e-11, abs_tol=1e-11):
                return text
    return text


def _text_of(slider: Slider, value: float, system: str) -> str:
    """A value as the rig file spells it."""
    if slider.kind == "switch":
        return "true" if round(value) else "false"
    if slider.kind in PLAIN_KINDS:
        return _exact_text(slider, value, system)
    unit = slider.unit(system)
    return f"{slider.shown(value, system):.4g} {_SPELLED.get(unit, unit)}"


def not_known_words(reason: str) -> str:
    """Why something is not known, a field named by its label."""
    return f"the rig file does not say: {label_of(reason)}." if _is_field(reason) else reason


def _fields_in(reason: str) -> tuple[str, ...]:
    return (reason,) if _is_field(reason) else ()


def _is_field(path: str) -> bool:
    """Whether a reason is the path of one field of the rig."""
    if path in DERIVED:
        return False
    try:
        field_info(path)
    except (InputError, ValueError):
        return False
    return True


def _read(slider: Slider, text: Any) -> float:
    if slider.options:
        if text not in slider.options:
            raise InputError(f"'{text}'", f"one of {', '.join(slider.options)}")
        return float(slider.options.index(text))
    if slider.kind not in PLAIN_KINDS:
        return to_si(text, slider.kind)
    try:
        return float(text) if slider.kind == "number" else float(int(text))
    except (TypeError, ValueError):
        raise InputError(f"'{text}'", "a number" if slider.kind == "number" else "a whole number") from None


_NAME_ENDINGS = (
    "kg",
    "n",
    "m",
    "m_s",
    "m2",
    "w",
    "n_m",
    "pa",
    "c",
    "k",
    "rad",
    "rpm",
    "m3",
    "n_m",
    "w_k",
    "j_k",
    "s",
    "m_s2",
    "kg_m3",
)
_SPELLED = {"°": "deg", "N·m": "N m", "lbf·ft": "lbf ft"}
