"""What a panel knows, without any widget: values in SI, the unit system, the result, its sentence and its picture."""

import itertools
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Protocol

from towlib.errors import InputError
from towlib.teaching.figures import Picture
from towlib.teaching.lessons import PLAIN_KINDS, PanelSpec, Slider
from towlib.units import from_si, number, to_si, to_si_number, unit_label

MOST_CORNERS = 64


class Drawing(Protocol):
    """How a lesson draws its result."""

    size_in: tuple[float, float]
    frames: int

    def build(self, picture: Picture, system: str) -> None:
        """Declare frames and named parts, once for each unit system."""

    def update(self, picture: Picture, result: Any, system: str) -> None:
        """Move the parts to a result."""


class PanelState:
    """The panel's mind: the physics gets SI floats and never notices which units are shown."""

    def __init__(self, spec: PanelSpec, compute: Callable[..., Any], drawing: Drawing, sentence: Callable[[Any, str], str], *,
                 system: str = "metric", settings: Mapping[str, str] | None = None):
        self.spec, self._compute, self._drawing, self._sentence = spec, compute, drawing, sentence
        self.system = system
        self.values = {slider.name: slider.start for slider in spec.sliders}
        self.result: Any = None
        self.sentence_text = ""
        self.failed = False
        self._new_picture()
        for name, text in (settings or {}).items():
            self.set_text(name, text)
        self.update()

    def _new_picture(self) -> None:
        self.picture = Picture(self._drawing.size_in, frames=self._drawing.frames, widths=getattr(self._drawing, "widths", None))
        self._drawing.build(self.picture, self.system)

    def slider(self, name: str) -> Slider:
        """The slider of this name; InputError names those there are."""
        for slider in self.spec.sliders:
            if name in (slider.name, slider.label):
                return slider
        raise InputError(f"no slider '{name}'", f"one of {', '.join(s.name for s in self.spec.sliders)}", field="settings")

    def set(self, name: str, value_si: float) -> str:
        """Move a slider; outside its range it stops at the end and the sentence returned says so."""
        slider = self.slider(name)
        clipped = min(max(value_si, slider.low), slider.high)
        self.values[slider.name] = clipped
        if abs(clipped - value_si) > 1e-9 * max(1.0, abs(value_si)):
            return f"{slider.label} goes from {self.shown_text(slider, slider.low)} to {self.shown_text(slider, slider.high)}; set to the nearer end."
        return ""

    def set_shown(self, name: str, value: float) -> str:
        """Move a slider to a number in the units shown."""
        slider = self.slider(name)
        return self.set(name, value if slider.kind in PLAIN_KINDS else to_si_number(value, slider.kind, self.system))

    def set_text(self, name: str, text: str) -> str:
        """Move a slider to a text such as '300 kg'."""
        slider = self.slider(name)
        try:
            value = float(text) if slider.kind in PLAIN_KINDS else to_si(text, slider.kind)
        except ValueError as error:
            raise error.at(field=name) if isinstance(error, InputError) else InputError(f"'{text}'", "a plain number", field=name) from None
        return self.set(name, value)

    def shown(self, slider: Slider, value_si: float) -> float:
        """A value in the units shown."""
        return value_si if slider.kind in PLAIN_KINDS else from_si(value_si, slider.kind, self.system)

    def unit(self, slider: Slider) -> str:
        """The unit shown, '' for a count."""
        return "" if slider.kind in PLAIN_KINDS else unit_label(slider.kind, self.system)

    def shown_text(self, slider: Slider, value_si: float) -> str:
        """A value with its unit as text."""
        return f"{number(self.shown(slider, value_si), 4)} {self.unit(slider)}".strip()

    def use_system(self, system: str) -> None:
        """Show other units; the SI values stay as they are."""
        if system != self.system:
            self.system = system
            self._new_picture()
        self.update()

    def reset(self) -> None:
        """Back to the starts, and kept curves dropped."""
        self.values = {slider.name: slider.start for slider in self.spec.sliders}
        self.picture.drop_kept()
        self.update()

    def update(self) -> None:
        """Compute and move the picture; an impossible setting becomes a sentence and the picture stays."""
        try:
            self.result = self._compute(**self.values)
            self.sentence_text = self._sentence(self.result, self.system)
            self.failed = False
        except ValueError as error:  # InputError is one
            self.sentence_text = f"Not possible: {error}"
            self.failed = True
            return
        self._drawing.update(self.picture, self.result, self.system)

    def settings_text(self) -> str:
        """A line that brings these settings back when it is pasted into the panel's call."""
        pairs = ", ".join(f"'{s.name}': '{self._exact(s)}'" for s in self.spec.sliders)
        return f"settings={{{pairs}}}"

    def _exact(self, slider: Slider) -> str:
        value = self.shown(slider, self.values[slider.name])
        unit = self.unit(slider)
        return f"{value:.6g} {_SPELLED.get(unit, unit)}".strip()

    def corners(self) -> Iterator[dict[str, float]]:
        """Every corner of the ranges, and the start; beyond 64 corners the even ones of the list, always with both extremes."""
        names = [slider.name for slider in self.spec.sliders]
        ends = [(slider.low, slider.high) for slider in self.spec.sliders]
        corners = list(itertools.product(*ends))
        if len(corners) > MOST_CORNERS:
            step = len(corners) / MOST_CORNERS
            corners = [corners[int(i * step)] for i in range(MOST_CORNERS)] + [corners[-1]]
        yield {slider.name: slider.start for slider in self.spec.sliders}
        for corner in corners:
            yield dict(zip(names, corner, strict=True))


_SPELLED = {"°": "deg", "N·m": "N m", "lbf·ft": "lbf ft"}
