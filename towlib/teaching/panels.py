"""Sliders, buttons, forms and pictures on the screen. Only this file knows ipywidgets."""

import functools
import html
import math
import re
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
.jupyter-widgets {--jp-widgets-input-border-color: var(--jp-ui-font-color2)}
.jupyter-widgets ::placeholder {color: var(--jp-ui-font-color1) !important; opacity: 0.8 !important}
.jupyter-widgets:focus-visible, .jupyter-widgets :focus-visible, .jupyter-widgets :is(input, textarea):focus-visible {outline: 2px solid var(--jp-ui-font-color0, #000) !important; outline-offset: 1px}
.jupyter-button.mod-active:not(.towlib-fold)::before {content: "✓ "; content: "✓ " / "chosen: "}
.jupyter-widgets.towlib-fold {text-align: left; font-weight: bold; white-space: normal; height: auto; min-height: 28px; line-height: 1.6}
.towlib-form .widget-html-content {white-space: normal; line-height: 1.35; overflow-wrap: anywhere}
.towlib-drawing {width: 100%; max-width: 900px; background: white}
.towlib-question {display: flex; gap: 8px; align-items: flex-start}
.towlib-letter, .towlib-letter-none {flex: 0 0 24px; height: 24px; box-sizing: border-box; text-align: center; line-height: 21px}
.towlib-letter {border: 2px solid #0072B2; border-radius: 50%}
.towlib-panel > .jupyter-widgets, .towlib-form .widget-html, .jupyter-widgets.towlib-fold {margin-left: 0; margin-right: 0}
.towlib-large > .towlib-picture {min-width: 1000px}
.towlib-form .widget-hbox > .widget-html:first-child {flex: 1 1 240px; max-width: 430px}
.jupyter-widgets select {appearance: auto !important; background-image: none !important}
.jupyter-widgets .noUi-target, .jupyter-widgets .noUi-handle {border-color: var(--jp-ui-font-color2)}
</style>"""
# towlib-named: a description that names the control to a screen reader, where the row's label already stands in sight.
# After it, for all widgets of the page and both themes of JupyterLab: edges at 3:1, hints at 4.5:1, the focus in sight, and a tick
# besides the shade of a pressed button. The knob of a slider alone has no name: ipywidgets gives none; its typed box, just before it, has.


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
        return ipywidgets.HBox([label, entry, bar] if entry else [bar] if slider.kind == "switch" else [label, bar],
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
    # not while typing: the page holds back what is typed while the kernel is busy, but not the button's click, which would keep half of it
    box = ipywidgets.Textarea(value=remembered, placeholder="Write your guess, with a reason, before you move a slider.", continuous_update=False,
                              layout=ipywidgets.Layout(width="auto", max_width="900px", height="70px"))
    _name(box, question)
    said = ipywidgets.HTML("You wrote this earlier." if remembered else "")
    button = ipywidgets.Button(description="Keep my guess", layout=ipywidgets.Layout(width="auto"))
    button.on_click(lambda _: setattr(said, "value", html.escape(on_save(box.value))))
    return ipywidgets.VBox([words, box, ipywidgets.HBox([button, said])])


def confirmed_button(words: str, tip: str, on_click: Callable[[], str], *, sure: str, ask: Callable[[], bool] = lambda: True) -> Any:
    """A button that acts on its second click: the first shows `sure` and a way back; the line `on_click` returns stands beside it.

    Where `ask` says that there is nothing to lose, the first click acts.
    """
    button = ipywidgets.Button(description=words, tooltip=tip, layout=ipywidgets.Layout(width="auto"))
    back = ipywidgets.Button(description="Keep it", tooltip="Change nothing", layout=ipywidgets.Layout(width="auto", display="none"))
    said = ipywidgets.HTML()

    asked_at = -math.inf

    def asking(on: bool) -> None:
        nonlocal asked_at
        asked_at = time.monotonic()
        button.description, button.button_style, back.layout.display = (sure, "warning", "") if on else (words, "", "none")

    def clicked(_: Any) -> None:
        if time.monotonic() - asked_at < TOO_QUICK_S:
            return
        if button.description == sure or not ask():
            asking(False)
            _say(said, on_click())
        else:
            asking(True)
            _say(said, f"{tip}.")

    def kept(_: Any) -> None:
        asking(False)
        _say(said, "Nothing was changed.")
    button.on_click(clicked)
    back.on_click(kept)
    return ipywidgets.HBox([button, back, said], layout=ipywidgets.Layout(flex_flow="row wrap", align_items="center"))


class FormRow(NamedTuple):
    """One question of a form, with the answer it has."""

    path: str
    label: str
    letter: str  # in front of the question, as in the section's drawing; '' when it is not drawn
    units: tuple[str, ...]  # to choose from, the answer's first; empty when the text stands alone
    choices: tuple[tuple[str, str], ...]  # fixed answers as (shown, kept); empty for typed text
    value: str
    plus_minus: str | None  # how far the value may be off; None when that is not asked
    example: str
    help: str
    required: bool
    state: str  # answered, not read, or what counts meanwhile


class FormSection(NamedTuple):
    """A folding part of a form. Everything is asked for anew when it opens, so that it shows what another notebook wrote."""

    title: Callable[[], str]
    rows: Callable[[], Sequence[FormRow | str]]  # a text between the rows is a heading
    picture: Callable[[], tuple[str, str]]  # address of an image, and its words for those who do not see it; '' for none
    note: str = ""  # under the picture


class Form:
    """Questions in folding sections; every change goes to `on_change(path, value, unit, plus_minus)`, whose answer stands beside the field."""

    def __init__(self, sections: Sequence[FormSection], on_change: Callable[[str, str, str, str], str], above: Sequence[Any] = (), below: Sequence[Any] = ()):
        self._sections, self._on_change = sections, on_change
        self._fields: dict[int, dict[str, _Field]] = {}  # of the sections that were opened once
        self._folds = [_Fold(section.title(), functools.partial(self._open, number)) for number, section in enumerate(sections)]
        self.widget = ipywidgets.VBox([ipywidgets.HTML(_STYLE), *above, *(fold.widget for fold in self._folds), *below])
        self.widget.add_class("towlib-form")

    @_one_at_a_time
    def refresh(self) -> None:
        """Show what is in the file now."""
        for number, fold in enumerate(self._folds):
            fold.rename(self._sections[number].title())
            if fold.is_open:
                self._fill(number)

    def open(self, title: str) -> None:
        """Open the first section whose title begins so, from a program."""
        next(fold for fold in self._folds if fold.title.startswith(title)).open()

    def field(self, path: str) -> "_Field":
        """A field of a section that was opened."""
        return next(fields[path] for fields in self._fields.values() if path in fields)

    def type(self, path: str, value: str, *, unit: str | None = None, plus_minus: str | None = None) -> str:
        """Type an answer from a program; returns what stands beside the field then."""
        return self.field(path).type(value, unit, plus_minus)

    @_one_at_a_time
    def _open(self, number: int) -> None:
        self._fill(number)
        self._folds[number].rename(self._sections[number].title())

    def _fill(self, number: int) -> None:
        rows = self._sections[number].rows()
        fields = self._fields.get(number, {})
        if list(fields) == [row.path for row in rows if isinstance(row, FormRow)] and fields:
            for row in rows:
                if isinstance(row, FormRow):
                    fields[row.path].show(row)
            return
        fields = self._fields[number] = {row.path: _Field(row, functools.partial(self._changed, number)) for row in rows if isinstance(row, FormRow)}
        address, words = self._sections[number].picture()
        drawing = [ipywidgets.HTML(f"<img class='towlib-drawing' src='{address}' alt='{html.escape(words, quote=True)}'>"
                                    f"<div>{html.escape(self._sections[number].note)}</div>", layout=_WIDE)] if address else []
        self._folds[number].hold([*drawing, *(fields[row.path].widget if isinstance(row, FormRow) else ipywidgets.HTML(f"<b>{html.escape(row)}</b>") for row in rows)])

    def _changed(self, number: int, path: str, value: str, unit: str, plus_minus: str) -> str:
        said = self._on_change(path, value, unit, plus_minus)
        self._folds[number].rename(self._sections[number].title())
        return said

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


class _Fold:
    """Rows under a button that opens and closes them; the headings of ipywidgets' own accordion cannot be reached by keyboard."""

    def __init__(self, title: str, on_open: Callable[[], None]):
        self._inside, self._on_open = ipywidgets.VBox(layout=ipywidgets.Layout(display="none", padding="4px 0 14px 0")), on_open
        self._button = ipywidgets.ToggleButton(description=title, layout=ipywidgets.Layout(width="100%"))
        self._button.add_class("towlib-fold")
        self._button.observe(self._turn, "value")
        self._turn()
        self.widget = ipywidgets.VBox([self._button, self._inside])

    @property
    def is_open(self) -> bool:
        return self._button.value

    @property
    def title(self) -> str:
        return self._button.description

    def open(self) -> None:
        self._button.value = True

    def rename(self, title: str) -> None:
        self._button.description = title

    def hold(self, rows: Sequence[Any]) -> None:
        self._inside.children = tuple(rows)

    def _turn(self, _: Any = None) -> None:
        if self.is_open:
            self._on_open()
        self._inside.layout.display = "" if self.is_open else "none"
        self._button.icon, self._button.tooltip = ("caret-down", "open; press to close") if self.is_open else ("caret-right", "closed; press to open")


class _Field:
    """One question on the screen."""

    def __init__(self, row: FormRow, on_change: Callable[[str, str, str, str], str]):
        self._path, self._on_change, self._quiet = row.path, on_change, True
        letter = f"<b class='towlib-letter'>{row.letter}</b>" if row.letter else "<span class='towlib-letter-none'></span>"
        label = ipywidgets.HTML(f"<div class='towlib-question'>{letter}<div>{html.escape(row.label)}{' <b>(needed)</b>' if row.required else ''}"
                                f"<br><small>{html.escape(row.help)}</small></div></div>", layout=ipywidgets.Layout(flex="0 0 auto", width="400px", max_width="100%"))
        name = f"{row.letter}: {row.label}" if row.letter else row.label
        self._said = ipywidgets.HTML(layout=ipywidgets.Layout(flex="1 1 220px", min_width="220px", margin="0 0 0 32px"))
        self._units = self._plus_minus = None
        if row.choices:
            self._entry = ipywidgets.Dropdown(options=[("", ""), *row.choices], layout=ipywidgets.Layout(width="200px"))
        else:
            wide = not row.units and row.plus_minus is None
            self._entry = ipywidgets.Text(placeholder=row.example, continuous_update=False, layout=ipywidgets.Layout(width="318px" if wide else "130px"))
        _name(self._entry, name)
        self._entry.add_class("towlib-field-" + row.path.replace(".", "-"))
        if row.units:
            self._units = ipywidgets.Dropdown(options=row.units, layout=ipywidgets.Layout(width="80px"))
            _name(self._units, f"unit of {name}")
            self._units.observe(self._new_unit, "value")
        if row.plus_minus is not None:
            self._plus_minus = ipywidgets.Text(placeholder="± how sure", continuous_update=False, layout=ipywidgets.Layout(width="95px"))
            _name(self._plus_minus, f"plus or minus, how sure you are of {name}")
            self._plus_minus.observe(self._typed, "value")
        self._entry.observe(self._typed, "value")
        self._quiet = False
        self.show(row)
        parts = [part for part in (self._entry, self._units, self._plus_minus) if part is not None]
        self.widget = ipywidgets.HBox([label, ipywidgets.HBox(parts, layout=ipywidgets.Layout(flex="0 0 auto", width="324px")), self._said], layout=ipywidgets.Layout(align_items="center", flex_flow="row wrap", width="100%", margin="2px 0 4px 0"))

    def show(self, row: FormRow) -> None:
        """Put an answer into the field without sending it."""
        self._quiet = True
        try:
            if row.choices:
                odd = [(row.value, row.value)] if row.value and row.value not in [kept for _, kept in row.choices] else []
                self._entry.options = [("", ""), *row.choices, *odd]
            self._entry.value = row.value
            if self._units is not None:
                self._units.options, self._units.value = row.units, row.units[0]
            if self._plus_minus is not None:
                self._plus_minus.value = f"± {row.plus_minus}" if row.plus_minus else ""
            self._said.value = f"<small>{html.escape(row.state)}</small>"
        finally:
            self._quiet = False

    @property
    def said(self) -> str:
        """What stands beside the field."""
        return html.unescape(re.sub("<[^>]*>", "", self._said.value))

    @property
    def shown(self) -> tuple[str, str, str]:
        """Value, unit and ± as they stand in the boxes."""
        return self._entry.value, self._units.value if self._units is not None else "", self._plus_minus.value if self._plus_minus is not None else ""

    def type(self, value: str, unit: str | None, plus_minus: str | None) -> str:
        """Type an answer from a program, the value last."""
        if unit is not None:
            self._units.value = unit
        if plus_minus is not None:
            self._plus_minus.value = plus_minus
        self._entry.value = value
        return self.said

    def _move_plus_minus(self) -> None:
        """A ± typed behind the value goes into its own box, in the place of what stood there."""
        value, sign, behind = self._entry.value.replace("+/-", "±").partition("±")
        if self._plus_minus is None or not (sign and value.strip()):
            return
        self._quiet = True
        try:
            self._entry.value = value.strip()
            if behind.strip():
                self._plus_minus.value = f"± {behind.strip()}"
        finally:
            self._quiet = False

    def _new_unit(self, _: Any) -> None:
        if self._entry.value.strip() or (self._plus_minus is not None and self._plus_minus.value.strip()):
            self._typed()  # a unit alone is no answer, and must not clear what another notebook wrote

    @_one_at_a_time
    def _typed(self, _: Any = None) -> None:
        if not self._quiet:
            self._move_plus_minus()
            unit = self._units.value if self._units is not None else ""
            plus_minus = re.sub(r"^(\s*(±|\+/-))+", "", self._plus_minus.value).strip() if self._plus_minus is not None else ""
            _say(self._said, self._on_change(self._path, self._entry.value, unit, plus_minus) or "✓ kept")


def rig_chooser(demos: Mapping[str, str], take: Callable[[str, bytes | None], str], *, has_rig: Callable[[], bool], where: str) -> Any:
    """Choose a rig file, type its path, or take a demo; `take(name or path, content)` says what became of it. `where`: words on the reader's own file."""
    upload = ipywidgets.FileUpload(accept=".toml", multiple=False, description="Choose a rig file", tooltip="Choose a rig file (.toml) of this computer",
                                   layout=ipywidgets.Layout(width="auto"))
    path = ipywidgets.Text(placeholder="or type its path", layout=ipywidgets.Layout(width="260px"))
    _name(path, "path of a rig file")
    demo = ipywidgets.Dropdown(options=[("or an invented demo", ""), *((words, place) for place, words in demos.items())], layout=ipywidgets.Layout(width="260px"))
    _name(demo, "an invented demo rig")
    chosen: list[tuple[str, bytes | None]] = []

    def choose(change: dict[str, Any]) -> None:
        if not change["new"]:
            return
        chosen.clear()
        if change["owner"] is upload:
            file = change["new"][0]
            chosen.append((file["name"], bytes(file["content"])))
        else:
            chosen.append((change["new"].strip(), None))
            upload.value = ()
        for other in (path, demo):
            if other is not change["owner"]:
                other.value = ""

    for control in (upload, path, demo):
        control.observe(choose, "value")
    button = confirmed_button("Take over this rig", "Put it in the place of your present one, which is kept beside it with .old behind its name",
                              lambda: take(*chosen[0]) if chosen else "Choose a file first, type its path, or choose a demo.", sure="Yes, replace mine",
                              ask=lambda: bool(chosen) and has_rig())
    fold = _Fold("A rig file made elsewhere, or a demo to begin with; and how to copy yours", lambda: None)
    fold.hold([ipywidgets.HBox([upload, path, demo], layout=ipywidgets.Layout(flex_flow="row wrap", align_items="center")), button,
               ipywidgets.HTML(f"<small>{html.escape(where)}</small>", layout=_WIDE)])
    return fold.widget


class AnswerButton:
    """A button and the words it fetches; `stale` marks them as those of before a change."""

    def __init__(self, words: str, tip: str, on_click: Callable[[], str]):
        self._said, self._text = ipywidgets.HTML(layout=_WIDE), ""
        self._on_click = on_click
        button = ipywidgets.Button(description=words, tooltip=tip, layout=ipywidgets.Layout(width="auto", align_self="flex-start"))
        button.on_click(self._fetch)
        self.widget = ipywidgets.VBox([button, self._said])

    @_one_at_a_time
    def _fetch(self, _: Any) -> None:
        self._text = self._on_click()
        self._said.value = f"<div role='status' style='white-space: pre-line'>{html.escape(self._text)}</div>"

    def stale(self) -> None:
        """The words are those of before a change."""
        if self._text:
            self._said.value = f"<div style='white-space: pre-line'><i>From before your last answer; press the button again.</i>\n{html.escape(self._text)}</div>"


def _say(place: Any, words: str) -> None:
    place.value = f"<span role='status'>{html.escape(words or 'kept')}</span>"
