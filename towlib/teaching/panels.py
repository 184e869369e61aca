"""Sliders, buttons, forms and pictures on the screen. Only this file knows ipywidgets."""

import functools
import html
import math
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import ipywidgets
import traitlets

from towlib.errors import InputError
from towlib.teaching.figures import DRAWING, PROJECTOR_SCALE
from towlib.teaching.lessons import Slider, load_panel
from towlib.teaching.panel_state import Drawing, PanelState

TOO_QUICK_S = 0.5  # a second click so soon is half of a double click, not an answer
_SYSTEM = {"now": "metric"}
_ZOOM = {"now": 1.0}
_LIVE: dict[tuple[str, str], "Panel"] = {}  # the newest panel of each name, which follows use_system
_WIDE = ipywidgets.Layout(width="100%")
_STYLE = """<style>
.towlib-stale {opacity: 0.35}
.towlib-large {--jp-widgets-font-size: 20px; --jp-widgets-inline-height: 42px; font-size: 20px}
.towlib-panel .widget-html-content {white-space: normal; line-height: 1.35; overflow-wrap: anywhere}
.towlib-named > .widget-label {position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%)}
</style>"""  # the last: a description that names the control to a screen reader, where the row's label already stands in sight


def use_system(system: str) -> None:
    """Units of all panels, those on the screen and those to come: 'metric' or 'us'."""
    if system not in ("metric", "us"):
        raise InputError(f"'{system}'", "'metric' or 'us'", field="system")
    _SYSTEM["now"] = system
    for panel in list(_LIVE.values()):
        panel.use_system(system)


def use_projector(on: bool = True) -> None:
    """Everything larger in all panels, those on the screen and those to come; each panel has its own switch besides."""
    _ZOOM["now"] = PROJECTOR_SCALE if on else 1.0
    for panel in list(_LIVE.values()):
        panel.use_projector(on)


def system_in_use() -> str:
    """Units of new panels."""
    return _SYSTEM["now"]


def note(words: str) -> None:
    """Show a line of words under a cell."""
    from IPython.display import display

    display(ipywidgets.HTML(html.escape(words)))


class _Picture(ipywidgets.Image):
    """An image whose tooltip becomes its title, the name a screen reader speaks; the browser side wants a description for that."""

    description = traitlets.Unicode("").tag(sync=True)


def _one_at_a_time(action: Callable[..., Any]) -> Callable[..., Any]:
    """Let one thread finish with state, picture and widgets before the next begins."""
    @functools.wraps(action)
    def alone(*given: Any, **named: Any) -> Any:
        with DRAWING:
            return action(*given, **named)
    return alone


class Panel:
    """A panel on the screen around a PanelState."""

    def __init__(self, state: PanelState):
        self.state = state
        self._moving = False
        self._rows: dict[str, tuple[Any, Any, str]] = {}  # name -> slider or list or box, typed entry or None, digits shown
        self._picture = _Picture(format="png", layout=ipywidgets.Layout(width="100%"))
        self._picture.add_class("towlib-picture")
        self._sentence = ipywidgets.HTML(layout=ipywidgets.Layout(min_height="3.2em", width="100%"))
        self._sentence.add_class("towlib-sentence")
        self._message = ipywidgets.HTML(layout=ipywidgets.Layout(min_height="1.6em", width="100%"))
        self._message.add_class("towlib-message")
        self._units = ipywidgets.ToggleButtons(options=[("metric", "metric"), ("US", "us")], value=state.system, description="Units",
                                               tooltips=["kg, m, km/h", "lb, ft, mph"], style={"button_width": "100px"})
        self._units.observe(self._on_units, "value")
        self._sliders = ipywidgets.VBox()
        self._build_rows()
        buttons = [self._button("Reset", "Back to the start values", self._on_reset),
                   self._button("Keep this curve", "Leave the present curve in grey for comparison", self._on_keep),
                   self._button("Drop kept", "Remove the grey curves", self._on_drop),
                   self._button("Copy settings", "Show a line that brings these settings back", self._on_copy)]
        self._large = ipywidgets.ToggleButton(value=state.zoom > 1.0, description="Projector view", tooltip="Everything larger, for a projector",
                                              layout=ipywidgets.Layout(width="auto"))
        self._large.observe(self._on_large, "value")
        self.widget = ipywidgets.VBox(
            [ipywidgets.HTML(f"{_STYLE}<b>{html.escape(state.spec.title)}</b>"), self._units, self._sliders,
             ipywidgets.HBox([*buttons, self._large], layout=ipywidgets.Layout(flex_flow="row wrap")), self._message, self._picture, self._sentence],
            layout=ipywidgets.Layout(width="100%", padding="4px"))
        self.widget.add_class("towlib-panel")
        self._fit()
        self._show()

    @property
    def result(self) -> Any:
        """What the compute function gave last."""
        return self.state.result

    @property
    def sentence_text(self) -> str:
        """The sentence under the picture."""
        return self.state.sentence_text

    @property
    def png_bytes(self) -> bytes:
        """The picture on the screen."""
        return self._picture.value

    @_one_at_a_time
    def set(self, name: str, value_si: float) -> str:
        """Move a slider from a program; an impossible setting becomes the sentence, any other error is raised."""
        said = self.state.set(name, value_si)
        self.state.update()
        self._put_back()
        return said

    def corners(self) -> Iterator[dict[str, float]]:
        """The start and the corners of the ranges, for tests."""
        return self.state.corners()

    def use_system(self, system: str) -> None:
        """Show other units; values stay what they are."""
        self._units.value = system

    def use_projector(self, on: bool) -> None:
        """Show everything larger, or as usual."""
        self._large.value = on

    def _fit(self) -> None:
        """Room for the picture at its size, so that nothing below jumps."""
        pixels, zoom = self.state.picture.figure.bbox, self.state.zoom
        self._picture.layout.max_width = f"{pixels.width:.0f}px"
        self.widget.layout.min_height = f"{pixels.height + zoom * (210 + 36 * len(self.state.spec.sliders)):.0f}px"
        (self.widget.add_class if zoom > 1.0 else self.widget.remove_class)("towlib-large")

    @staticmethod
    def _button(words: str, tip: str, on_click: Callable[[Any], None]) -> Any:
        button = ipywidgets.Button(description=words, tooltip=tip, layout=ipywidgets.Layout(width="auto"))
        button.on_click(on_click)
        return button

    def _build_rows(self) -> None:
        old = self._sliders.children
        self._rows.clear()
        self._sliders.children = [self._row(slider) for slider in self.state.spec.sliders]
        for row in old:
            for part in (*row.children, row):
                part.close()

    def _row(self, slider: Slider) -> Any:
        unit = self.state.unit(slider)
        words = f"{slider.label} [{unit}]" if unit else slider.label
        label = ipywidgets.HTML(f"<span title='{html.escape(slider.why_this_range, quote=True)}'>{html.escape(words)}</span>",
                                layout=ipywidgets.Layout(width="290px"))
        value, entry, digits = self.state.values[slider.name], None, ".0f"
        if slider.kind == "choice":
            bar = ipywidgets.Dropdown(options=[(option, float(i)) for i, option in enumerate(slider.options)], value=value,
                                      layout=ipywidgets.Layout(width="260px"))
            _name(bar, words)
        elif slider.kind == "switch":
            bar = ipywidgets.Checkbox(value=bool(value), indent=False, description=words, layout=ipywidgets.Layout(width="auto"))
        else:
            step = slider.shown_step(self.state.system)
            digits = f".{max(0, _decimals(step))}f"
            # ends on the grid of the step, so that every stop is a round number; the state holds the exact ends
            low, high = (turn(round(self.state.shown(slider, end) / step, 6)) * step
                         for turn, end in ((math.floor, slider.low), (math.ceil, slider.high)))
            bar = ipywidgets.FloatSlider(min=low, max=high, step=step, value=_stop(low, step, self.state.shown(slider, value)), readout=False,
                                         continuous_update=True, layout=ipywidgets.Layout(flex="1 1 160px", min_width="120px", max_width="480px"))
            entry = ipywidgets.FloatText(value=float(format(self.state.shown(slider, value), digits)), step=step, layout=ipywidgets.Layout(width="96px"))
            _name(entry, f"Type a value: {words}")
            entry.add_class(f"towlib-entry-{slider.name}")
            entry.observe(lambda change: self._on_type(slider.name, change["new"]), "value")
        bar.tooltip = f"{words}: {slider.why_this_range}"
        bar.add_class(f"towlib-slider-{slider.name}")
        bar.observe(lambda change: self._on_slide(slider.name, float(change["new"])), "value")
        self._rows[slider.name] = (bar, entry, digits)
        return ipywidgets.HBox([label, bar, entry] if entry else [bar] if slider.kind == "switch" else [label, bar],
                               layout=ipywidgets.Layout(align_items="center", width="100%", max_width="900px", flex_flow="row wrap"))

    @_one_at_a_time
    def _on_slide(self, name: str, shown: float) -> None:
        if self._moving or math.isclose(shown, self._on_bar(name), rel_tol=1e-6, abs_tol=1e-9):
            return  # the page tells the stop its knob stands on; a value between two stops must survive that
        self.state.set_shown(name, shown)
        self._message.value = ""
        self._redraw(skip_bar=name)

    @_one_at_a_time
    def _on_type(self, name: str, shown: float) -> None:
        if not self._moving:
            said = self.state.set_shown(name, shown)
            self._message.value = html.escape(f"You typed {shown:g}. {said}") if said else ""
            self._redraw()

    @_one_at_a_time
    def _on_units(self, change: dict[str, Any]) -> None:
        self._message.value = ""
        self._try(lambda: self.state.use_system(change["new"]))
        self._moving = True
        try:
            self._build_rows()
        finally:
            self._moving = False
        self._show()

    @_one_at_a_time
    def _on_large(self, change: dict[str, Any]) -> None:
        self._try(lambda: self.state.use_zoom(PROJECTOR_SCALE if change["new"] else 1.0))
        self._fit()
        self._show()

    @_one_at_a_time
    def _on_reset(self, _: Any) -> None:
        self._message.value = ""
        self._try(self.state.reset)
        self._put_back()

    @_one_at_a_time
    def _on_keep(self, _: Any) -> None:
        self._message.value = f"Kept in grey as 'kept {self.state.keep()}'; move a slider and compare."
        self._show()

    @_one_at_a_time
    def _on_drop(self, _: Any) -> None:
        self.state.drop_kept()
        self._message.value = ""
        self._show()

    @_one_at_a_time
    def _on_copy(self, _: Any) -> None:
        self._message.value = f"Paste this into the call of the panel: <code>{html.escape(self.state.settings_text())}</code>"

    def _redraw(self, skip_bar: str = "") -> None:
        self._try(self.state.update)
        self._put_back(skip_bar)

    def _try(self, action: Callable[[], Any]) -> None:
        """On the screen nobody may meet a traceback; in tests the state itself raises."""
        try:
            action()
        except Exception as error:
            self.state.fail(error)

    def _put_back(self, skip_bar: str = "") -> None:
        self._moving = True
        try:
            for name, (bar, entry, digits) in self._rows.items():
                if name != skip_bar:
                    bar.value = self._on_bar(name)
                if entry is not None:
                    entry.value = float(format(self.state.shown(self.state.slider(name), self.state.values[name]), digits))
        finally:
            self._moving = False
        self._show()

    def _on_bar(self, name: str) -> Any:
        """Where the knob stands for the present value: the page knows only whole steps, and would write them back."""
        bar, shown = self._rows[name][0], self.state.shown(self.state.slider(name), self.state.values[name])
        if isinstance(bar, ipywidgets.FloatSlider):
            return _stop(bar.min, bar.step, shown)
        return bool(shown) if isinstance(bar, ipywidgets.Checkbox) else shown

    def _show(self) -> None:
        with self._picture.hold_sync():
            self._picture.value = self.state.picture.png()
            self._picture.tooltip = self.state.sentence_text
        self._sentence.value = f"<span role='status' aria-live='polite'>{html.escape(self.state.sentence_text)}</span>"
        (self._picture.add_class if self.state.failed else self._picture.remove_class)("towlib-stale")

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


def _name(control: Any, words: str) -> None:
    """A name that is spoken but not shown."""
    control.description, control.tooltip = words, words
    control.add_class("towlib-named")


def _stop(low: float, step: float, shown: float) -> float:
    """The stop of a slider nearest to a value, without the noise of binary fractions."""
    return float(f"{low + round((shown - low) / step) * step:.7g}")


def _decimals(step: float) -> int:
    """Decimal places that tell two stops of a slider apart: 0 for 5, 1 for 0.5, 2 for 0.25."""
    return len(f"{step:.6f}".rstrip("0").partition(".")[2])


def show_panel(lesson: str, panel: str, compute: Callable[..., Any], drawing: Drawing, sentence: Callable[[Any, str], str], *,
               system: str | None = None, settings: Mapping[str, str] | None = None) -> Panel:
    """A panel: its sliders come from data/lessons, its physics from `compute` (SI floats in), its looks from `drawing`."""
    state = PanelState(load_panel(lesson, panel), compute, drawing, sentence, system=system or _SYSTEM["now"], settings=settings,
                       zoom=_ZOOM["now"])
    _LIVE[lesson, panel] = Panel(state)
    return _LIVE[lesson, panel]


def ask_prediction(question: str, remembered: str, on_save: Callable[[str], str]) -> Any:
    """A box for a guess before anything moves; `on_save` keeps it and returns a line to show."""
    words = ipywidgets.HTML(f"<b>{html.escape(question)}</b>")
    box = ipywidgets.Textarea(value=remembered, placeholder="Write your guess, with a reason, before you move a slider.",
                              layout=ipywidgets.Layout(width="100%", max_width="900px", height="70px"))
    box.tooltip = question
    said = ipywidgets.HTML("You wrote this earlier." if remembered else "")
    button = ipywidgets.Button(description="Keep my guess", layout=ipywidgets.Layout(width="auto"))
    button.on_click(lambda _: setattr(said, "value", html.escape(on_save(box.value))))
    return ipywidgets.VBox([words, box, ipywidgets.HBox([button, said])])


def confirmed_button(words: str, tip: str, on_click: Callable[[], str], *, sure: str) -> Any:
    """A button that acts on its second click: the first shows `sure` and a way back; the line `on_click` returns stands beside it."""
    button = ipywidgets.Button(description=words, tooltip=tip, layout=ipywidgets.Layout(width="auto"))
    back = ipywidgets.Button(description="Keep it", tooltip="Change nothing", layout=ipywidgets.Layout(width="auto", display="none"))
    said = ipywidgets.HTML()

    asked_at = -math.inf

    def ask(asking: bool) -> None:
        nonlocal asked_at
        asked_at = time.monotonic()
        button.description, button.button_style, back.layout.display = (sure, "warning", "") if asking else (words, "", "none")

    def clicked(_: Any) -> None:
        if time.monotonic() - asked_at < TOO_QUICK_S:
            return
        if button.description == sure:
            ask(False)
            _say(said, on_click())
        else:
            ask(True)
            _say(said, f"{tip}.")

    def kept(_: Any) -> None:
        ask(False)
        _say(said, "Nothing was changed.")
    button.on_click(clicked)
    back.on_click(kept)
    return ipywidgets.HBox([button, back, said], layout=ipywidgets.Layout(flex_flow="row wrap", align_items="center"))


class FormRow(NamedTuple):
    """One question of a form."""

    path: str
    label: str
    units: tuple[str, ...]  # to choose from; empty when the text stands alone
    choices: tuple[str, ...]  # fixed answers; empty for typed text
    text: str
    example: str
    help: str
    required: bool


def form(sections: Sequence[tuple[str, Sequence[FormRow]]], on_change: Callable[[str, str], str]) -> Any:
    """Questions in folding sections; every change goes to `on_change(path, text)`, whose answer stands beside the field."""
    folds = ipywidgets.Accordion([ipywidgets.VBox([_form_row(row, on_change) for row in rows]) for _, rows in sections])
    for i, (title, _) in enumerate(sections):
        folds.set_title(i, title)
    folds.add_class("towlib-form")
    return folds


def _form_row(row: FormRow, on_change: Callable[[str, str], str]) -> Any:
    label = ipywidgets.HTML(f"{html.escape(row.label)}{' <b>(needed)</b>' if row.required else ''}<br><small>{html.escape(row.help)}</small>",
                            layout=ipywidgets.Layout(width="430px"))
    said = ipywidgets.HTML(layout=_WIDE)
    if row.choices:
        choices = ["", *row.choices]
        entry = ipywidgets.Dropdown(options=choices, value=row.text if row.text in choices else "", layout=ipywidgets.Layout(width="200px"))
        entry.observe(lambda change: _say(said, on_change(row.path, change["new"])), "value")
        parts = [entry]
    else:
        typed, unit = _split(row)
        entry = ipywidgets.Text(value=typed, placeholder=row.example, continuous_update=False, layout=ipywidgets.Layout(width="150px"))
        parts = [entry]
        if row.units:
            units = ipywidgets.Dropdown(options=list(dict.fromkeys((unit, *row.units))), value=unit, layout=ipywidgets.Layout(width="90px"))
            units.tooltip = f"unit of: {row.label}"

            def put(_: Any) -> None:
                text = entry.value.strip()
                alone = text and text.replace(".", "", 1).replace(",", "").replace("-", "", 1).isdigit()
                _say(said, on_change(row.path, f"{text} {units.value}" if alone else text))
            entry.observe(put, "value")
            units.observe(put, "value")
            parts.append(units)
        else:
            entry.observe(lambda change: _say(said, on_change(row.path, change["new"])), "value")
    entry.tooltip = row.label
    entry.add_class("towlib-field-" + row.path.replace(".", "-"))
    return ipywidgets.HBox([label, *parts, said], layout=ipywidgets.Layout(align_items="center", flex_flow="row wrap", width="100%"))


def _split(row: FormRow) -> tuple[str, str]:
    for unit in row.units:
        if row.text.endswith(f" {unit}"):
            return row.text.removesuffix(f" {unit}"), unit
    return row.text, row.units[0] if row.units else ""


def _say(place: Any, words: str) -> None:
    place.value = f"<span role='status'>{html.escape(words)}</span>" if words else "<span role='status'>kept</span>"
