"""Sliders, buttons, forms and pictures on the screen. Only this file knows ipywidgets."""

import asyncio
import functools
import html
import math
import re
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import anywidget
import ipywidgets
import mistune
import traitlets

from towlib.draw.figures import DRAWING, PROJECTOR_SCALE
from towlib.errors import InputError
from towlib.lessons.declare import Given
from towlib.lessons.index import panel_of
from towlib.lessons.predictions import Prediction
from towlib.lessons.slider_rows import Slider, load_panel
from towlib.limits.limit import Limit
from towlib.rig.facts import NotKnown
from towlib.rig.model import in_words
from towlib.teaching import settings
from towlib.teaching.panel import rig_in_use
from towlib.teaching.panel.panel_state import PanelState, not_known_words

TOO_QUICK_S = 0.5  # a second click so soon is half of a double click, not an answer
MOST_ASKED = 6  # missing fields that a panel asks for at once: as many as a rig needs to begin with
RIG_FILE = "rig file"  # what is told when the reader's rig was changed in a panel
MOST_ROWS = 9  # sliders that stand beside a picture on a small laptop; the others are folded away
RESTS_S = 0.25  # a slider that has not moved for so long rests
PLAY_MS, PLAY_STEPS = 80, 90
_ZOOM = {"now": 1.0}
_LIVE: dict[tuple[str, str], "Panel"] = {}  # the newest panel of each name, which follows what is chosen
_PLAIN = ipywidgets.Layout()
_WIDE = ipywidgets.Layout(width="100%")
_AUTO = ipywidgets.Layout(width="auto")
_QUESTION = ipywidgets.Layout(flex="0 0 auto", width="400px", max_width="100%")
_ANSWER = ipywidgets.Layout(flex="0 0 auto", width="324px")
_FIELD_SAID = ipywidgets.Layout(flex="1 1 220px", min_width="220px", margin="0 0 0 32px")
_FIELD = ipywidgets.Layout(align_items="center", flex_flow="row wrap", width="100%", margin="2px 0 4px 0")
_NARROW_BUTTONS = ipywidgets.ToggleButtons.class_traits()["style"].klass(button_width="auto")
_AWAY = ipywidgets.Layout(width="auto", display="none")
_SENTENCE = ipywidgets.Layout(min_height="3.2em", width="100%")
_STYLE = f"<style>{Path(__file__).with_name('panels.css').read_text(encoding='utf-8')}</style>"
# towlib-named: a description that names the control to a screen reader, where the row's label already stands
# in sight. For all widgets of the page and both themes of JupyterLab: edges at 3:1, hints at 4.5:1, the focus
# in sight, and a tick besides the shade of a pressed button. The knob of a slider alone has no name:
# ipywidgets gives none; its typed box, just behind it, has.


def use_system(system: str) -> None:
    """Units of the whole workbook, kept for the next time: 'metric' or 'us'."""
    settings.choose("units", system)


def use_projector(on: bool = True) -> None:
    """Everything larger in all panels, those on the screen and those to come; each panel has its own switch
    besides.
    """
    _ZOOM["now"] = PROJECTOR_SCALE if on else 1.0
    for panel in list(_LIVE.values()):
        panel.use_projector(on)


def system_in_use() -> str:
    """Units of new panels."""
    return str(settings.chosen("units"))


def _rig_source(which: str) -> Callable[[str], Any]:
    return rig_in_use.readers_own if which == "mine" else rig_in_use.invented


def _follow(name: str, value: Any) -> None:
    """Panels on the screen take what was chosen in any of them."""
    for panel in list(_LIVE.values()):
        if name == "units":
            panel.use_system(value)
        elif name == "rig":
            panel.use_rig(value)


settings.watch("panels", _follow)


def rig_changed(*also: "Panel") -> None:
    """Panels that show the reader's rig read it again, and those `also` that were shown anew since; then
    texts on the rig.
    """
    for panel in dict.fromkeys((*_LIVE.values(), *also)):
        panel.read_rig_again()
    settings.tell(RIG_FILE, None)


@functools.cache
def _style_of(kind: Any) -> Any:
    """The one style of all widgets of a kind; None where the kind has none."""
    style = kind.class_traits().get("style")
    return style and style.klass()


@functools.cache
def _px(wide: int) -> Any:
    """The one layout of all widgets of so many pixels."""
    return ipywidgets.Layout(width=f"{wide}px")


def _part(kind: Any, *given: Any, **named: Any) -> Any:
    """A widget that shares style and layout with others, because nobody changes them: its own would be two
    thirds of all that a panel sends to the page.
    """
    named.setdefault("layout", _PLAIN)
    if style := _style_of(kind):
        named.setdefault("style", style)
    return kind(*given, **named)


def note(words: str) -> None:
    """Show a line of words under a cell."""
    from IPython.display import display

    display(ipywidgets.HTML(html.escape(words)))


def markdown(text: str) -> str:
    """Markdown as HTML; HTML inside it is shown as text."""
    return str(mistune.html(html.escape(text, quote=False)))


class _Picture(ipywidgets.Image):
    """An image whose tooltip becomes its title, the name a screen reader speaks; the browser side wants a
    description for that.
    """

    description = traitlets.Unicode("").tag(sync=True)


class _Width(anywidget.AnyWidget):
    """Tells whether the panel stands on a narrow screen."""

    _esm = Path(__file__).with_name("width.js")
    narrow = traitlets.Bool(False).tag(sync=True)


def _one_at_a_time(action: Callable[..., Any]) -> Callable[..., Any]:
    """Let one thread finish with state, picture and widgets before the next begins."""

    @functools.wraps(action)
    def alone(*given: Any, **named: Any) -> Any:
        with DRAWING:
            return action(*given, **named)

    return alone


class Panel:
    """A panel on the screen around a PanelState."""

    def __init__(self, state: PanelState, ask: "AskField | None" = None, *, has_vehicle: bool = True):
        self.state, self._ask_field, self._has_vehicle = state, ask, has_vehicle
        self._asked_now: dict[str, _Field] = {}
        self._answering = ""  # the field whose box is being read
        self._moving = False
        self._trying: asyncio.TimerHandle | None = None  # what is assumed, while the slider rests
        # name -> slider or list or box, typed entry or None, digits shown
        self._rows: dict[str, tuple[Any, Any, str]] = {}
        self._row_boxes: dict[str, Any] = {}
        self._moved = ""  # the slider moved last
        self._before: dict[str, str] = {}  # what the rig held before the last values were kept in it
        self._picture = _Picture(format="png", layout=_WIDE)
        self._picture.add_class("towlib-picture")
        self._sentence = _part(ipywidgets.HTML, layout=_SENTENCE)
        self._sentence.add_class("towlib-sentence")
        self._message = _part(ipywidgets.HTML, layout=_WIDE)
        self._message.add_class("towlib-message")
        self._units = _toggle({"metric": "metric", "US": "us"}, state.system, "Units of the whole workbook")
        self._units.observe(self._on_units, "value")
        self._rig = _toggle(
            {"invented pair": "invented", "my rig": "mine"},
            settings.chosen("rig") if has_vehicle else "invented",
            "Whose vehicles",
        )
        self._rig.observe(self._on_rig, "value")
        self._sliders = ipywidgets.VBox(layout=_WIDE)
        self._folded = _Fold("More sliders", lambda: None)
        self._asked = ipywidgets.VBox(layout=_WIDE)
        self._asked.add_class("towlib-form")
        self._large = _part(
            ipywidgets.ToggleButton,
            value=state.zoom > 1.0,
            description="Projector",
            tooltip="Projector view: everything larger",
            layout=_AUTO,
        )
        self._large.add_class("towlib-projector")
        self._large.observe(self._on_large, "value")
        self._width = _Width()
        self._width.observe(self._on_width, "narrow")
        self._keep_button = self._button(
            "Keep in my rig", "Write the moved values into my rig", self._on_to_rig
        )
        self._undo = self._button("Undo", "Put the former values back into my rig", self._on_undo)
        for button in (self._keep_button, self._undo):  # which come and go
            button.layout = ipywidgets.Layout(width="auto")
        buttons = _part(
            ipywidgets.Box,
            [
                self._button("Reset", "Back to the start values", self._on_reset),
                self._button("Keep curve", "Leave the present curve in grey for comparison", self._on_keep),
                self._button("Drop kept", "Remove the grey curves", self._on_drop),
                self._button("Settings", "Show these settings in words", self._on_copy),
                self._keep_button,
                self._undo,
            ],
        )
        buttons.add_class("towlib-buttons")
        title = _part(ipywidgets.HTML, f"{_STYLE}<b>{html.escape(state.spec.title)}</b>")
        title.add_class("towlib-title")
        head = _part(ipywidgets.Box, [title, *([self._rig] if has_vehicle else []), self._units, self._large])
        head.add_class("towlib-head")
        controls = _part(
            ipywidgets.VBox, [self._sliders, self._folded.widget, buttons, self._message, self._asked]
        )
        controls.add_class("towlib-controls")
        show = _part(ipywidgets.VBox, [self._picture, self._sentence])
        show.add_class("towlib-show")
        body = _part(ipywidgets.Box, [controls, show])
        body.add_class("towlib-body")
        self.widget = ipywidgets.VBox([self._width, head, body], layout=_WIDE)
        self.widget.add_class("towlib-panel")
        self._start_anew()

    @property
    def result(self) -> Any:
        """What the compute function gave last."""
        return self.state.result

    @property
    def sentence_text(self) -> str:
        """The sentence under the picture, what is assumed tried."""
        return self.state.told

    @property
    def png_bytes(self) -> bytes:
        """The picture on the screen."""
        return bytes(self._picture.value)

    @_one_at_a_time
    def set(self, name: str, value_si: float) -> str:
        """Move a slider from a program; an impossible setting becomes the sentence, any other error is
        raised.
        """
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

    @_one_at_a_time
    def use_rig(self, which: str) -> None:
        """Start from the invented pair or from the reader's rig; nothing where there is no vehicle."""
        if not self._has_vehicle:
            return
        self._rig.value = which
        self._message.value = ""
        self._try(lambda: self.state.use_rig(_rig_source(which)))
        self._start_anew()

    def read_rig_again(self) -> None:
        """Start again from the reader's rig, when it is shown."""
        if self._rig.value == "mine":
            self.use_rig("mine")

    def _start_anew(self) -> None:
        """Rows, boxes and buttons for the rig in use."""
        self._moving = True
        try:
            self._build_rows()
        finally:
            self._moving = False
        mine = self._rig.value == "mine"
        keeps = mine and any(slider.kept_in_rig for slider in self.state.spec.sliders)
        self._keep_button.layout.display = "" if keeps else "none"
        self._undo.layout.display = "" if mine and self._before else "none"
        (self.widget.add_class if self.state.zoom > 1.0 else self.widget.remove_class)("towlib-large")
        self._show()

    @staticmethod
    def _button(words: str, tip: str, on_click: Callable[[Any], None]) -> Any:
        button = _part(ipywidgets.Button, description=words, tooltip=tip, layout=_AUTO)
        button.on_click(on_click)
        return button

    def _build_rows(self) -> None:
        old = (*self._sliders.children, *self._folded.rows)
        self._rows.clear()
        self._row_boxes.clear()
        self._moved = ""
        rows = [(slider, self._row(slider)) for slider in self.state.spec.sliders]
        away = {slider.name for slider, _ in rows if slider.folded}
        for slider, _ in reversed(rows):  # too many all the same: the last ones, which set the view
            if len(rows) - len(away) > MOST_ROWS:
                away.add(slider.name)
        self._sliders.children = [row for slider, row in rows if slider.name not in away]
        self._folded.hold([row for slider, row in rows if slider.name in away])
        self._folded.widget.layout.display = "" if away else "none"
        for row in old:
            for part in (*row.children, row):
                part.close()

    def _row(self, slider: Slider) -> Any:
        unit = self.state.unit(slider)
        words = f"{slider.label} [{unit}]" if unit else slider.label
        tip = html.escape(slider.why_this_range, quote=True)
        label = _part(ipywidgets.HTML, f"<span title='{tip}'>{html.escape(words)}</span>")
        label.add_class("towlib-label")
        value, entry, digits = self.state.values[slider.name], None, ".0f"
        parts: list[Any]
        if slider.kind == "choice" or (slider.kind == "switch" and slider.of_rig):
            options = [(option, float(i)) for i, option in enumerate(slider.options)]
            bar = _part(ipywidgets.Dropdown, options=options, value=value)
            _name(bar, words)
            parts = [label, bar]
        elif slider.kind == "switch":
            bar = _part(ipywidgets.Checkbox, value=bool(value), indent=False, description=words)
            parts = [bar]
        else:
            step = slider.shown_step(self.state.system)
            digits = f".{max(0, _decimals(step))}f"
            # ends on the grid of the step, so that every stop is round; the state holds the exact ends
            low, high = (
                turn(round(self.state.shown(slider, end) / step, 6)) * step
                for turn, end in ((math.floor, slider.low), (math.ceil, slider.high))
            )
            bar = _part(
                ipywidgets.FloatSlider,
                min=low,
                max=high,
                step=step,
                value=_stop(low, step, self.state.shown(slider, value)),
                readout=False,
                continuous_update=True,
            )
            entry = _part(
                ipywidgets.FloatText,
                value=float(format(self.state.shown(slider, value), digits)),
                step=step,
            )
            _name(entry, f"Type a value: {words}")
            entry.add_class(f"towlib-entry-{_class_of(slider)}")
            entry.observe(lambda change: self._on_type(slider.name, change["new"]), "value")
            parts = [label, bar, entry]
            if slider.plays:
                parts.append(self._play(slider))
        bar.tooltip = f"{words}: {slider.why_this_range}"
        bar.add_class(f"towlib-slider-{_class_of(slider)}")
        bar.observe(lambda change: self._on_slide(slider.name, float(change["new"])), "value")
        self._rows[slider.name] = (bar, entry, digits)
        row = self._row_boxes[slider.name] = _part(ipywidgets.Box, parts)
        row.add_class("towlib-row")
        if entry is None:
            row.add_class(
                "towlib-switch" if slider.kind == "switch" and not slider.of_rig else "towlib-choice"
            )
        return row

    def _mark(self, name: str) -> None:
        """In the projector view the control that is moved stands next to the picture."""
        if self.state.zoom > 1.0 and name != self._moved:
            for other, row in self._row_boxes.items():
                (row.add_class if other == name else row.remove_class)("towlib-moved")
            self._moved = name

    def _play(self, slider: Slider) -> Any:
        """A button that moves the slider by itself from end to end."""
        play = _part(ipywidgets.Play, min=0, max=PLAY_STEPS, interval=PLAY_MS, show_repeat=False)
        play.add_class("towlib-play")
        play.tooltip = f"Play: {slider.label}"

        def step(change: dict[str, Any]) -> None:
            value = slider.low + (slider.high - slider.low) * change["new"] / PLAY_STEPS
            self._on_slide(slider.name, self.state.shown(slider, value), whole=True)

        play.observe(step, "value")
        return play

    @_one_at_a_time
    def _on_slide(self, name: str, shown: float, *, whole: bool = False) -> None:
        if self._moving or (
            not whole and math.isclose(shown, self._on_bar(name), rel_tol=1e-6, abs_tol=1e-9)
        ):
            return  # the page tells the stop its knob stands on; a value between two stops must survive that
        self.state.set_shown(name, shown)
        self._message.value = ""
        self._mark(name)
        self._redraw(skip_bar="" if whole else name)

    @_one_at_a_time
    def _on_type(self, name: str, shown: float) -> None:
        if not self._moving:
            said = self.state.set_shown(name, shown)
            self._mark(name)
            self._message.value = html.escape(f"You typed {shown:g}. {said}") if said else ""
            self._redraw()

    @_one_at_a_time
    def _on_units(self, change: dict[str, Any]) -> None:
        self._message.value = ""
        self._try(lambda: self.state.use_system(change["new"]))
        self._start_anew()
        if change["new"] != settings.chosen("units"):
            self._message.value = html.escape(settings.choose("units", change["new"]))

    @_one_at_a_time
    def _on_rig(self, change: dict[str, Any]) -> None:
        if change["new"] != settings.chosen("rig"):
            said = settings.choose("rig", change["new"])
            if self not in _LIVE.values():
                self.use_rig(change["new"])
            self._message.value = html.escape(said)

    @_one_at_a_time
    def _on_large(self, change: dict[str, Any]) -> None:
        self._try(lambda: self.state.use_zoom(PROJECTOR_SCALE if change["new"] else 1.0))
        self._start_anew()

    @_one_at_a_time
    def _on_width(self, change: dict[str, Any]) -> None:
        self._try(lambda: self.state.use_narrow(change["new"]))
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
        self._message.value = html.escape(self.state.settings_words())

    @_one_at_a_time
    def _on_to_rig(self, _: Any) -> None:
        moved = self.state.moved_fields()
        if not moved:
            self._message.value = "No slider of a field of your rig was moved, so nothing was written."
            return
        labels = {slider.name: slider.label for slider in self.state.spec.sliders}
        try:
            said, self._before = rig_in_use.keep({path: new for path, (_, new) in moved.items()})
        except InputError as error:
            said = f"Not kept: {error}"
        if not said:
            said = "Kept in my_rig.toml: " + "; ".join(
                f"{labels[path]} {new} (was {self._before[path] or 'not given'})"
                for path, (_, new) in moved.items()
            )
        rig_changed(self)
        self._message.value = html.escape(said)

    @_one_at_a_time
    def _on_undo(self, _: Any) -> None:
        try:
            said, _before = rig_in_use.keep(self._before)
        except InputError as error:
            said = f"Not put back: {error}"
        self._before = {} if not said else self._before
        rig_changed(self)
        self._message.value = html.escape(said or "The former values stand in my_rig.toml again.")

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
                    entry.value = float(
                        format(self.state.shown(self.state.slider(name), self.state.values[name]), digits)
                    )
        finally:
            self._moving = False
        self._show()

    def _on_bar(self, name: str) -> Any:
        """Where the knob stands for the present value: the page knows only whole steps, and would write them
        back.
        """
        bar, shown = (
            self._rows[name][0],
            self.state.shown(self.state.slider(name), self.state.values[name]),
        )
        if isinstance(bar, ipywidgets.FloatSlider):
            return _stop(bar.min, bar.step, shown)
        return bool(shown) if isinstance(bar, ipywidgets.Checkbox) else shown

    def _show(self) -> None:
        words = self._words_now()
        with self._picture.hold_sync():
            self._picture.value = self.state.picture.png()
            self._picture.tooltip = words
        self._tell(words)
        (self._picture.add_class if self.state.failed else self._picture.remove_class)("towlib-stale")
        self._show_asked()

    def _tell(self, words: str) -> None:
        self._sentence.value = f"<span role='status' aria-live='polite'>{html.escape(words)}</span>"

    def _words_now(self) -> str:
        """The sentence. On the screen what is assumed is tried once the slider rests, so that the picture
        follows the hand.
        """
        if self._trying is not None:
            self._trying.cancel()
            self._trying = None
        if self.state.trying:
            try:
                loop = asyncio.get_running_loop()
            except RuntimeError:  # no screen
                return self.state.told
            self._trying = loop.call_later(RESTS_S, self._try_on, loop)
        return self.state.told_now

    def _try_on(self, loop: asyncio.AbstractEventLoop) -> None:
        """One end tried, and then the page's messages before the next."""
        with DRAWING:
            self._try(self.state.try_on)
            if self.state.trying:
                self._trying = loop.call_later(0.0, self._try_on, loop)
                return
            self._trying = None
            self._picture.tooltip = self.state.told_now
            self._tell(self.state.told_now)

    def _show_asked(self) -> None:
        """A box for each field that the reader's rig lacks here. What was answered stays until nothing is
        missing: a box that came anew would lose what is being typed in it.
        """
        ask, missing = self._ask_field, self.state.missing if self._rig.value == "mine" else ()
        if ask is None or not missing:
            self._asked_now, self._asked.children = {}, ()
            return
        for path, field in self._asked_now.items():
            if path not in missing and path != self._answering:  # answered in another panel
                field.show(ask.row(path))
        room = MOST_ASKED - sum(path in missing for path in self._asked_now)
        fresh = [path for path in missing if path not in self._asked_now][: max(0, room)]
        for path in fresh:
            self._asked_now[path] = _Field(
                ask.row(path), functools.partial(self._answered, ask), functools.partial(self._confirm, ask)
            )
        if fresh:
            heading = ipywidgets.HTML("<b>Not in your rig file yet. Type it here and it is kept there:</b>")
            self._asked.children = [
                *(self._asked.children or [heading]),
                *(self._asked_now[path].widget for path in fresh),
            ]

    def _answered(self, ask: "AskField", path: str, value: str, unit: str, plus_minus: str) -> str:
        said = ask.put(path, value, unit, plus_minus)
        if not said and value.strip():
            self._answering = path
            rig_changed(self)
            self._answering = ""
        return said or ask.row(path).state

    def _confirm(self, ask: "AskField", path: str) -> str:
        said = ask.confirm(path)
        rig_changed(self)
        return said

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


class AskField(NamedTuple):
    """How a field of the rig is asked for outside the form: its row, and where the answer goes."""

    row: Callable[[str], "FormRow"]
    put: Callable[[str, str, str, str], str]  # path, value, unit, ± -> '' or one sentence
    confirm: Callable[[str], str]  # keep that a value is right as it stands; what is said then


def _toggle(options: Mapping[str, str], value: str, name: str) -> Any:
    buttons = _part(
        ipywidgets.ToggleButtons,
        options=list(options.items()),
        value=value,
        description=name,
        style=_NARROW_BUTTONS,
        layout=_AUTO,
    )
    _name(buttons, name)
    return buttons


def _class_of(slider: Slider) -> str:
    return slider.name.replace(".", "-")


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


def show_panel(
    lesson: str,
    panel: str,
    *,
    system: str | None = None,
    settings_text: Mapping[str, str] | None = None,
    ask: AskField | None = None,
) -> Panel:
    """A panel by its lesson and name: its rows come from data/lessons, all else from the lesson's room."""
    declared = panel_of(lesson, panel)
    state = PanelState(
        load_panel(lesson, panel),
        declared,
        _rig_source(settings.chosen("rig") if declared.vehicle else "invented"),
        system=system or system_in_use(),
        settings=settings_text,
        zoom=_ZOOM["now"],
    )
    _LIVE[lesson, panel] = Panel(state, ask, has_vehicle=declared.vehicle)
    return _LIVE[lesson, panel]


class PredictionBox:
    """A question before anything moves: options, room for words, and a button that keeps both."""

    def __init__(self, prediction: Prediction, remembered: str, on_save: Callable[[str], str]):
        self._options, self._on_save = [option.words for option in prediction.options], on_save
        chosen, words = parted_guess(remembered, self._options)
        self.kept = bool(remembered.strip())
        question = ipywidgets.HTML(f"{_STYLE}<b>{html.escape(prediction.question)}</b>", layout=_WIDE)
        self._choice = ipywidgets.RadioButtons(options=self._options, value=chosen, layout=_WIDE)
        _name(self._choice, prediction.question)
        # not while typing: the page holds back what is typed while the kernel is busy, but not the button's
        # click, which would keep half of it
        self._words = ipywidgets.Textarea(
            value=words,
            placeholder="Your reason, if you like." if self._options else "Write your guess, with a reason.",
            continuous_update=False,
            layout=ipywidgets.Layout(width="auto", max_width="900px", height="56px"),
        )
        _name(self._words, f"In your own words: {prediction.question}")
        self._said = ipywidgets.HTML("You answered this earlier." if self.kept else "")
        button = ipywidgets.Button(description="Keep my guess", layout=_AUTO)
        button.on_click(self._on_click)
        row = ipywidgets.HBox([button, self._said], layout=ipywidgets.Layout(flex_flow="row wrap"))
        self.on_kept: Callable[[], None] = lambda: None
        self.widget = ipywidgets.VBox(
            [question, *([self._choice] if self._options else []), self._words, row]
        )
        self.widget.add_class("towlib-ask")

    def answer(self, choice: str | None, words: str = "") -> str:
        """Choose and write from a program, and keep it; returns what is said."""
        if choice is not None:
            self._choice.value = choice
        self._words.value = words
        self._on_click(None)
        return html.unescape(re.sub("<[^>]*>", "", self._said.value))

    @_one_at_a_time
    def _on_click(self, _: Any) -> None:
        if self._options and self._choice.value is None:
            _say(self._said, "Choose one first; there is room for words below.")
        elif not self._options and not self._words.value.strip():
            _say(self._said, "Write something first.")
        else:
            _say(self._said, self._on_save(joined_guess(self._choice.value, self._words.value)))
            self.kept = True
            self.on_kept()

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


_BETWEEN = " | "  # the option chosen, and the reader's own words


def joined_guess(choice: str | None, words: str) -> str:
    """A guess as it is kept."""
    return _BETWEEN.join(part for part in (choice or "", words.strip()) if part)


def parted_guess(kept: str, options: Sequence[str]) -> tuple[str | None, str]:
    """The option chosen, None when it is none of these, and the words."""
    first, _, rest = kept.partition(_BETWEEN)
    return (first, rest) if first in options else (None, kept)


class SeenFold:
    """What one should have seen, folded away until it is asked for; its words are fetched when it opens."""

    def __init__(self, words: Callable[[], str], *, is_open: bool = False):
        self._words = words
        self._text = ipywidgets.HTML(layout=ipywidgets.Layout(width="100%", max_width="900px"))
        self._fold = _Fold("What you should have seen", self.refresh)
        self._fold.hold([self._text])
        self.widget = ipywidgets.VBox([_part(ipywidgets.HTML, _STYLE), self._fold.widget], layout=_WIDE)
        self.widget.add_class("towlib-form")
        if is_open:
            self.open()

    def open(self) -> None:
        """Open it, as after a prediction was kept."""
        self._fold.open()
        self.refresh()

    @property
    def text(self) -> str:
        """The words on the screen; '' while it is folded."""
        return html.unescape(re.sub("<[^>]*>", "", self._text.value))

    def refresh(self) -> None:
        """Fetch the words anew when they are in sight."""
        if self._fold.is_open:
            self._text.value = markdown(in_words(self._words()))

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


class ExerciseBox:
    """An exercise: its question with numbers, a box for each answer, and buttons to check them, for other
    numbers, and for the way to the answer.
    """

    def __init__(
        self,
        draw: Callable[[int], Given],
        on_check: Callable[[int, int, str], str],  # set of numbers, which question, answer -> what is said
    ):
        self._draw, self._on_check, self._set = draw, on_check, 1
        self._words = _part(ipywidgets.HTML, layout=_WIDE)
        self._boxes = ipywidgets.VBox(layout=_WIDE)
        self._way = _part(ipywidgets.HTML, layout=_WIDE)
        self._number = ipywidgets.BoundedIntText(
            value=1, min=1, max=999, description="Numbers", layout=ipywidgets.Layout(width="150px")
        )
        self._number.tooltip = "Which set of numbers; the same set has the same numbers everywhere"
        self._number.observe(lambda change: self.take_set(change["new"]), "value")
        buttons = _part(
            ipywidgets.Box,
            [
                self._button("Check", "Say whether the answers are right, and why not", self._check),
                self._button("Other numbers", "The next set of numbers", self._next),
                self._button("Show the way", "Show how it is worked out, with these numbers", self._show_way),
                self._number,
            ],
        )
        buttons.add_class("towlib-buttons")
        parts = [_part(ipywidgets.HTML, _STYLE), self._words, self._boxes, buttons, self._way]
        self.widget = ipywidgets.VBox(parts, layout=_WIDE)
        self.widget.add_class("towlib-ask")
        self.take_set(1)

    @staticmethod
    def _button(words: str, tip: str, on_click: Callable[[], None]) -> Any:
        button = _part(ipywidgets.Button, description=words, tooltip=tip, layout=_AUTO)
        button.on_click(lambda _: on_click())
        return button

    @_one_at_a_time
    def take_set(self, number: int) -> None:
        """Show another set of numbers; what was answered belongs to the old ones and goes."""
        self._set, self._number.value = number, number
        self._given = self._draw(number)
        self._words.value = markdown(self._given.words)
        self._way.value = ""
        self._entries: list[tuple[Any, Any]] = []
        rows: list[Any] = []
        for question in self._given.questions:
            said = _part(ipywidgets.HTML, layout=_WIDE)
            name = re.sub(r"[*_`]", "", question.words or self._given.words)
            entry: Any
            if question.kind == "choice":
                entry = ipywidgets.RadioButtons(options=list(question.options), value=None, layout=_WIDE)
            else:
                example = "a whole number" if question.kind == "count" else "value and unit"
                entry = ipywidgets.Text(
                    placeholder=example, continuous_update=False, layout=ipywidgets.Layout(width="220px")
                )
            _name(entry, name)
            if question.words:
                rows.append(ipywidgets.HTML(markdown(question.words), layout=_WIDE))
            rows += [entry, said]
            self._entries.append((entry, said))
        self._boxes.children = rows

    def answer(self, *answers: str) -> list[str]:
        """Type answers from a program and check them; returns what is said."""
        for (entry, _), text in zip(self._entries, answers, strict=True):
            entry.value = text
        self._check()
        return [html.unescape(re.sub("<[^>]*>", "", said.value)) for _, said in self._entries]

    @property
    def way_text(self) -> str:
        """The way to the answer as it stands on the screen; '' until it is asked for."""
        return html.unescape(re.sub("<[^>]*>", "", self._way.value))

    @_one_at_a_time
    def _check(self) -> None:
        for number, (entry, said) in enumerate(self._entries):
            _say(said, self._on_check(self._set, number, str(entry.value or "")))

    def _next(self) -> None:
        self.take_set(self._set % 999 + 1)

    @_one_at_a_time
    def _show_way(self) -> None:
        self._way.value = markdown(self._given.way)

    def refresh(self) -> None:
        """The same numbers in the units chosen now."""
        self.take_set(self._set)

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


class LiveText:
    """Text that is made anew when something was chosen, with buttons to choose beside it."""

    def __init__(self, make: Callable[[], str], controls: Sequence[Any] = ()):
        self._make, self._text = make, _part(ipywidgets.HTML, layout=_WIDE)
        self.widget = ipywidgets.VBox([_part(ipywidgets.HTML, _STYLE), *controls, self._text], layout=_WIDE)
        self.widget.add_class("towlib-ask")
        self.refresh()

    @property
    def html_text(self) -> str:
        """What stands on the screen, as HTML."""
        return str(self._text.value)

    @_one_at_a_time
    def refresh(self) -> None:
        """Make the text anew."""
        self._text.value = in_words(self._make())

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


def answer_words(limit: Limit, system: str) -> str:
    """A limit's answer; a field that is not known by its label, not by its key in the file."""
    return limit.answer_text(system, not_known_words)


def words_or_not_known(say: Callable[[], str]) -> str:
    """Words on a rig, or one sentence that names what it lacks."""
    try:
        return say()
    except NotKnown as unknown:
        return f"Not known: {not_known_words(unknown.reason)}"
    except ValueError as error:
        return f"Not possible for this rig: {error}"


def choice_of(setting: str, options: Mapping[str, Any], label: str) -> Any:
    """A list that chooses one of the workbook's settings, and follows what is chosen elsewhere."""
    present = settings.chosen(setting)
    if present not in options.values():
        options = {**options, str(present): present}
    box = ipywidgets.Dropdown(
        options=list(options.items()),
        value=present,
        description=label,
        layout=ipywidgets.Layout(width="auto"),
    )
    box.observe(lambda change: settings.choose(setting, change["new"]), "value")
    settings.watch(
        ("choice", setting),
        lambda name, value: setattr(box, "value", value) if name == setting else None,
    )
    return box


def in_a_row(*controls: Any) -> Any:
    """Controls beside each other, on the next line where there is no room."""
    row = ipywidgets.Box(list(controls))
    row.add_class("towlib-buttons")
    return row


def confirmed_button(
    words: str, tip: str, on_click: Callable[[], str], *, sure: str, ask: Callable[[], bool] = lambda: True
) -> Any:
    """A button that acts on its second click: the first shows `sure` and a way back; the line `on_click`
    returns stands beside it.

    Where `ask` says that there is nothing to lose, the first click acts.
    """
    button = ipywidgets.Button(description=words, tooltip=tip, layout=ipywidgets.Layout(width="auto"))
    back = ipywidgets.Button(
        description="Keep it",
        tooltip="Change nothing",
        layout=ipywidgets.Layout(width="auto", display="none"),
    )
    said = ipywidgets.HTML()

    asked_at = -math.inf

    def asking(on: bool) -> None:
        nonlocal asked_at
        asked_at = time.monotonic()
        button.description, button.button_style, back.layout.display = (
            (sure, "warning", "") if on else (words, "", "none")
        )

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
    return ipywidgets.HBox(
        [button, back, said], layout=ipywidgets.Layout(flex_flow="row wrap", align_items="center")
    )


QUESTION = "? "  # what a friend would ask about a value begins so


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
    """A folding part of a form. Everything is asked for anew when it opens, so that it shows what another
    notebook wrote.
    """

    title: Callable[[], str]
    rows: Callable[[], Sequence[FormRow | str]]  # a text between the rows is a heading
    picture: Callable[
        [], tuple[str, str]
    ]  # address of an image, and its words for those who do not see it; '' for none
    note: str = ""  # under the picture


class Form:
    """Questions in folding sections; every change goes to `on_change(path, value, unit, plus_minus)`, whose
    answer stands beside the field.
    """

    def __init__(
        self,
        sections: Sequence[FormSection],
        on_change: Callable[[str, str, str, str], str],
        above: Sequence[Any] = (),
        below: Sequence[Any] = (),
        on_confirm: Callable[[str], str] | None = None,
    ):
        self._sections, self._on_change, self._on_confirm = sections, on_change, on_confirm
        self._fields: dict[int, dict[str, _Field]] = {}  # of the sections that were opened once
        self._folds = [
            _Fold(section.title(), functools.partial(self._open, number))
            for number, section in enumerate(sections)
        ]
        self.widget = ipywidgets.VBox(
            [_part(ipywidgets.HTML, _STYLE), *above, *(fold.widget for fold in self._folds), *below]
        )
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
        fields = self._fields[number] = {
            row.path: _Field(row, functools.partial(self._changed, number), self._on_confirm)
            for row in rows
            if isinstance(row, FormRow)
        }
        address, words = self._sections[number].picture()
        drawing = (
            [
                ipywidgets.HTML(
                    f"<img class='towlib-drawing' src='{address}' alt='{html.escape(words, quote=True)}'>"
                    f"<div>{html.escape(self._sections[number].note)}</div>",
                    layout=_WIDE,
                )
            ]
            if address
            else []
        )
        self._folds[number].hold(
            [
                *drawing,
                *(
                    (
                        fields[row.path].widget
                        if isinstance(row, FormRow)
                        else ipywidgets.HTML(f"<b>{html.escape(row)}</b>")
                    )
                    for row in rows
                ),
            ]
        )

    def _changed(self, number: int, path: str, value: str, unit: str, plus_minus: str) -> str:
        said = self._on_change(path, value, unit, plus_minus)
        self._folds[number].rename(self._sections[number].title())
        return said

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


class _Fold:
    """Rows under a button that opens and closes them; the headings of ipywidgets' own accordion cannot be
    reached by keyboard.
    """

    def __init__(self, title: str, on_open: Callable[[], None]):
        self._inside, self._on_open = (
            ipywidgets.VBox(layout=ipywidgets.Layout(display="none", padding="4px 0 14px 0")),
            on_open,
        )
        self._button = _part(ipywidgets.ToggleButton, description=title, layout=_WIDE)
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

    @property
    def rows(self) -> tuple[Any, ...]:
        return tuple(self._inside.children)

    def hold(self, rows: Sequence[Any]) -> None:
        self._inside.children = tuple(rows)

    def _turn(self, _: Any = None) -> None:
        if self.is_open:
            self._on_open()
        self._inside.layout.display = "" if self.is_open else "none"
        self._button.icon, self._button.tooltip = (
            ("caret-down", "open; press to close")
            if self.is_open
            else ("caret-right", "closed; press to open")
        )


class _Field:
    """One question on the screen."""

    def __init__(
        self,
        row: FormRow,
        on_change: Callable[[str, str, str, str], str],
        on_confirm: Callable[[str], str] | None = None,
    ):
        self._path, self._on_change, self._on_confirm, self._quiet = row.path, on_change, on_confirm, True
        letter = (
            f"<b class='towlib-letter'>{row.letter}</b>"
            if row.letter
            else "<span class='towlib-letter-none'></span>"
        )
        label = _part(
            ipywidgets.HTML,
            f"<div class='towlib-question'>{letter}<div>{html.escape(row.label)}"
            f"{' <b>(needed)</b>' if row.required else ''}<br><small>{html.escape(row.help)}</small>"
            "</div></div>",
            layout=_QUESTION,
        )
        name = f"{row.letter}: {row.label}" if row.letter else row.label
        self._said = _part(ipywidgets.HTML, layout=_FIELD_SAID)
        self._right = _part(ipywidgets.Button, description="It is right as it stands", layout=_AWAY)
        self._right.on_click(self._confirmed)
        self._units = self._plus_minus = None
        if row.choices:
            options = [("", ""), *row.choices]
            self._entry = _part(ipywidgets.Dropdown, options=options, layout=_px(200))
        else:
            wide = not row.units and row.plus_minus is None
            self._entry = _part(
                ipywidgets.Text,
                placeholder=row.example,
                continuous_update=False,
                layout=_px(318 if wide else 130),
            )
        _name(self._entry, name)
        self._entry.add_class("towlib-field-" + row.path.replace(".", "-"))
        if row.units:
            self._units = _part(ipywidgets.Dropdown, options=row.units, layout=_px(80))
            _name(self._units, f"unit of {name}")
            self._units.observe(self._new_unit, "value")
        if row.plus_minus is not None:
            self._plus_minus = _part(
                ipywidgets.Text, placeholder="± how sure", continuous_update=False, layout=_px(95)
            )
            _name(self._plus_minus, f"plus or minus, how sure you are of {name}")
            self._plus_minus.observe(self._typed, "value")
        self._entry.observe(self._typed, "value")
        self._quiet = False
        self.show(row)
        parts = [part for part in (self._entry, self._units, self._plus_minus) if part is not None]
        boxes = _part(ipywidgets.HBox, parts, layout=_ANSWER)
        self.widget = _part(ipywidgets.HBox, [label, boxes, self._said, self._right], layout=_FIELD)

    def show(self, row: FormRow) -> None:
        """Put an answer into the field without sending it."""
        self._quiet = True
        try:
            if row.choices:
                odd = (
                    [(row.value, row.value)]
                    if row.value and row.value not in [kept for _, kept in row.choices]
                    else []
                )
                self._entry.options = [("", ""), *row.choices, *odd]
            self._entry.value = row.value
            if self._units is not None:
                self._units.options, self._units.value = row.units, row.units[0]
            if self._plus_minus is not None:
                self._plus_minus.value = f"± {row.plus_minus}" if row.plus_minus else ""
            self._said.value = f"<small>{html.escape(row.state)}</small>"
            self._offer()
        finally:
            self._quiet = False

    @property
    def said(self) -> str:
        """What stands beside the field."""
        return html.unescape(re.sub("<[^>]*>", "", self._said.value))

    @property
    def shown(self) -> tuple[str, str, str]:
        """Value, unit and ± as they stand in the boxes."""
        return (
            self._entry.value,
            self._units.value if self._units is not None else "",
            self._plus_minus.value if self._plus_minus is not None else "",
        )

    def type(self, value: str, unit: str | None, plus_minus: str | None) -> str:
        """Type an answer from a program, the value last."""
        if unit is not None:
            assert self._units is not None
            self._units.value = unit
        if plus_minus is not None:
            assert self._plus_minus is not None
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
            plus_minus = (
                re.sub(r"^(\s*(±|\+/-))+", "", self._plus_minus.value).strip()
                if self._plus_minus is not None
                else ""
            )
            _say(self._said, self._on_change(self._path, self._entry.value, unit, plus_minus) or "✓ kept")
            self._offer()

    def confirm(self) -> str:
        """Confirm an unusual value from a program; returns what stands beside the field then."""
        self._right.click()
        return self.said

    @_one_at_a_time
    def _confirmed(self, _: Any) -> None:
        if self._on_confirm is not None:
            _say(self._said, self._on_confirm(self._path))
            self._offer()

    def _offer(self) -> None:
        """The button that confirms a value stands beside a question only."""
        asked = self._on_confirm is not None and self.said.startswith(QUESTION)
        self._right.layout = _AUTO if asked else _AWAY


def rig_chooser(
    demos: Mapping[str, str],
    take: Callable[[str, bytes | None], str],
    *,
    has_rig: Callable[[], bool],
    where: str,
) -> Any:
    """Choose a rig file, type its path, or take a demo; `take(name or path, content)` says what became of it.
    `where`: words on the reader's own file.
    """
    upload = ipywidgets.FileUpload(
        accept=".toml",
        multiple=False,
        description="Choose a rig file",
        tooltip="Choose a rig file (.toml) of this computer",
        layout=ipywidgets.Layout(width="auto"),
    )
    path = ipywidgets.Text(placeholder="or type its path", layout=ipywidgets.Layout(width="260px"))
    _name(path, "path of a rig file")
    demo = ipywidgets.Dropdown(
        options=[("or an invented demo", ""), *((words, place) for place, words in demos.items())],
        layout=ipywidgets.Layout(width="260px"),
    )
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
    button = confirmed_button(
        "Take over this rig",
        "Put it in the place of your present one, which is kept beside it with .old behind its name",
        lambda: take(*chosen[0]) if chosen else "Choose a file first, type its path, or choose a demo.",
        sure="Yes, replace mine",
        ask=lambda: bool(chosen) and has_rig(),
    )
    fold = _Fold("A rig file made elsewhere, or a demo to begin with; and how to copy yours", lambda: None)
    fold.hold(
        [
            ipywidgets.HBox(
                [upload, path, demo], layout=ipywidgets.Layout(flex_flow="row wrap", align_items="center")
            ),
            button,
            ipywidgets.HTML(f"<small>{html.escape(where)}</small>", layout=_WIDE),
        ]
    )
    return fold.widget


class _OpenPage(anywidget.AnyWidget):
    """A link that opens a page in a tab of its own; the page goes along as text, so that the link works
    where no file list is at hand.
    """

    _esm = Path(__file__).with_name("open_page.js")
    page = traitlets.Unicode("").tag(sync=True)  # HTML; without it there is no link
    label = traitlets.Unicode("").tag(sync=True)


class AnswerButton:
    """A button and the words it fetches; `stale` marks them as those of before a change. With `link`, the
    words of a link, `offer` lets the reader open a page there.
    """

    def __init__(self, words: str, tip: str, on_click: Callable[[], str], *, link: str = ""):
        self._said, self._text = _part(ipywidgets.HTML, layout=_WIDE), ""
        self._on_click, self._link = on_click, _OpenPage(label=link) if link else None
        button = ipywidgets.Button(
            description=words, tooltip=tip, layout=ipywidgets.Layout(width="auto", align_self="flex-start")
        )
        button.on_click(self._fetch)
        self.widget = ipywidgets.VBox([button, self._said, *([self._link] if self._link else [])])
        self.widget.add_class("towlib-ask")

    def offer(self, page: str) -> None:
        """The page behind the link."""
        assert self._link is not None
        self._link.page = page

    @property
    def page(self) -> str:
        """The page behind the link; '' while there is none."""
        return str(self._link.page) if self._link else ""

    @_one_at_a_time
    def _fetch(self, _: Any) -> None:
        self._text = in_words(self._on_click()).strip()
        self._said.value = f"<div role='status' style='white-space: pre-line'>{html.escape(self._text)}</div>"

    def stale(self) -> None:
        """The words are those of before a change."""
        if self._text:
            self._said.value = (
                "<div style='white-space: pre-line'><i>From before your last answer; press the button"
                f" again.</i>\n{html.escape(self._text)}</div>"
            )

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.widget)


def _say(place: Any, words: str) -> None:
    place.value = f"<span role='status'>{html.escape(words or 'kept')}</span>"
