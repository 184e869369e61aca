"""Sliders, buttons, forms and pictures on the screen. Only this file knows ipywidgets."""

import html
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

import ipywidgets

from towlib.errors import InputError
from towlib.teaching.lessons import PLAIN_KINDS, load_panel
from towlib.teaching.panel_state import Drawing, PanelState

_SYSTEM = {"now": "metric"}
_LABEL = ipywidgets.Layout(width="290px")
_WIDE = ipywidgets.Layout(width="100%")


def use_system(system: str) -> None:
    """Units of panels made from now on: 'metric' or 'us'."""
    if system not in ("metric", "us"):
        raise InputError(f"'{system}'", "'metric' or 'us'", field="system")
    _SYSTEM["now"] = system


def system_in_use() -> str:
    """Units of new panels."""
    return _SYSTEM["now"]


def note(words: str) -> None:
    """Show a line of words under a cell."""
    from IPython.display import display

    display(ipywidgets.HTML(html.escape(words)))


class Panel:
    """A panel on the screen around a PanelState."""

    def __init__(self, state: PanelState):
        self.state = state
        self._moving = False
        self._rows: dict[str, tuple[Any, Any, Any]] = {}
        self._picture = ipywidgets.Image(format="png", layout=ipywidgets.Layout(width="100%", max_width=f"{state.picture.figure.bbox.width:.0f}px"))
        self._picture.add_class("towlib-picture")
        self._sentence = ipywidgets.HTML(layout=ipywidgets.Layout(min_height="3.2em", width="100%"))
        self._sentence.add_class("towlib-sentence")
        self._message = ipywidgets.HTML(layout=ipywidgets.Layout(min_height="1.6em", width="100%"))
        self._units = ipywidgets.ToggleButtons(options=[("metric", "metric"), ("US", "us")], value=state.system, description="Units",
                                               style={"button_width": "72px"})
        self._units.observe(self._on_units, "value")
        self._sliders = ipywidgets.VBox()
        self._build_rows()
        buttons = [self._button("Reset", "Back to the start values", self._on_reset),
                   self._button("Keep this curve", "Leave the present curve in grey for comparison", self._on_keep),
                   self._button("Drop kept", "Remove the grey curves", self._on_drop),
                   self._button("Copy settings", "Show a line that brings these settings back", self._on_copy)]
        pixels = state.picture.figure.bbox.height
        self.widget = ipywidgets.VBox(
            [ipywidgets.HTML(f"<b>{html.escape(state.spec.title)}</b>"), self._units, self._sliders, ipywidgets.HBox(buttons, layout=ipywidgets.Layout(flex_flow="row wrap")),
             self._message, self._picture, self._sentence],
            layout=ipywidgets.Layout(min_height=f"{pixels + 210 + 36 * len(state.spec.sliders):.0f}px", width="100%", padding="4px"))
        self.widget.add_class("towlib-panel")
        self._show()

    @staticmethod
    def _button(words: str, tip: str, on_click: Callable[[Any], None]) -> Any:
        button = ipywidgets.Button(description=words, tooltip=tip, layout=ipywidgets.Layout(width="auto"))
        button.on_click(on_click)
        return button

    def _build_rows(self) -> None:
        rows = []
        for slider in self.state.spec.sliders:
            whole = slider.kind in PLAIN_KINDS
            low, high, step = (self.state.shown(slider, v) for v in (slider.low, slider.high, slider.low + slider.step))
            step = abs(step - low)
            words = f"{slider.label} [{self.state.unit(slider)}]" if not whole else slider.label
            digits = ".0f" if step >= 1 else ".1f" if step >= 0.1 else ".2f"
            bar = ipywidgets.FloatSlider(min=low, max=high, step=step, value=self.state.shown(slider, self.state.values[slider.name]),
                                         readout=False, continuous_update=True, layout=ipywidgets.Layout(flex="1 1 160px", min_width="120px"))
            bar.tooltip = f"{words}: {slider.why_this_range}"
            bar.add_class(f"towlib-slider-{slider.name}")
            entry = ipywidgets.FloatText(value=float(format(bar.value, digits)), step=step, layout=ipywidgets.Layout(width="96px"))
            entry.tooltip = f"Type a value: {words}"
            entry.add_class(f"towlib-entry-{slider.name}")
            label = ipywidgets.Label(words, layout=_LABEL)
            label.tooltip = slider.why_this_range
            bar.observe(lambda change, name=slider.name: self._on_slide(name, change["new"]), "value")
            entry.observe(lambda change, name=slider.name: self._on_type(name, change["new"]), "value")
            self._rows[slider.name] = (bar, entry, digits)
            rows.append(ipywidgets.HBox([label, bar, entry], layout=ipywidgets.Layout(align_items="center", width="100%", max_width="900px")))
        self._sliders.children = rows

    def _on_slide(self, name: str, value: float) -> None:
        if not self._moving:
            self._message.value = html.escape(self.state.set_shown(name, value))
            self._redraw(skip_bar=name)

    def _on_type(self, name: str, value: float) -> None:
        if not self._moving:
            self._message.value = html.escape(self.state.set_shown(name, value))
            self._redraw()

    def _on_units(self, change: dict[str, Any]) -> None:
        self._moving = True
        self.state.use_system(change["new"])
        self._rows.clear()
        self._build_rows()
        self._moving = False
        self._message.value = ""
        self._show()

    def _on_reset(self, _: Any) -> None:
        self.state.reset()
        self._message.value = ""
        self._redraw()

    def _on_keep(self, _: Any) -> None:
        self.state.picture.keep()
        self._message.value = "The present curve stays in grey; move a slider and compare."
        self._show()

    def _on_drop(self, _: Any) -> None:
        self.state.picture.drop_kept()
        self._message.value = ""
        self._show()

    def _on_copy(self, _: Any) -> None:
        self._message.value = f"Paste this into the call of the panel: <code>{html.escape(self.state.settings_text())}</code>"

    def _redraw(self, skip_bar: str = "") -> None:
        self.state.update()
        self._moving = True
        try:
            for name, (bar, entry, digits) in self._rows.items():
                shown = self.state.shown(self.state.slider(name), self.state.values[name])
                if name != skip_bar:
                    bar.value = shown
                entry.value = float(format(shown, digits))
        finally:
            self._moving = False
        self._show()

    def _show(self) -> None:
        self._picture.value = self.state.picture.png()
        self._sentence.value = f"<span role='status' aria-live='polite'>{html.escape(self.state.sentence_text)}</span>"
        self._picture.layout.opacity = "0.35" if self.state.failed else "1"

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


def show_panel(lesson: str, panel: str, compute: Callable[..., Any], drawing: Drawing, sentence: Callable[[Any, str], str], *,
               system: str | None = None, settings: Mapping[str, str] | None = None) -> Panel:
    """A panel: its sliders come from data/lessons, its physics from `compute` (SI floats in), its looks from `drawing`."""
    return Panel(PanelState(load_panel(lesson, panel), compute, drawing, sentence, system=system or _SYSTEM["now"], settings=settings))


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
