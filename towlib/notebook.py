"""What the notebooks call: a lesson's panels, predictions, exercises and results, each by its name."""

import html
from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import Any

from towlib.errors import InputError
from towlib.handbook.tables import Compared
from towlib.lessons.index import lesson_of, panel_of
from towlib.lessons.judging import judge_question
from towlib.lessons.l11_sheet import trip_sheet
from towlib.lessons.predictions import Prediction, predictions_of
from towlib.lessons.shown_tables import Table, Tables, Worked
from towlib.limits.decision import answer
from towlib.limits.limit import Limit, Rule, by_closeness, in_words
from towlib.paths import DATA, reader_folder
from towlib.plan.many_cases import sample_plan
from towlib.plan.trip import make_plan
from towlib.print.certainty import certainty_words
from towlib.rig.facts import Facts, NotKnown
from towlib.rig.model import Rig
from towlib.road.route import Route, load_route
from towlib.teaching import settings
from towlib.teaching.form import measuring_sheet, reader_form
from towlib.teaching.form.reader_form import asked_in_panels
from towlib.teaching.panel import panels, rig_in_use
from towlib.teaching.practice import answers, progress


class Notebook:
    """A lesson's notebook: everything it shows, with what the reader answered beside it."""

    def __init__(self, key: str):
        self.key = key
        self.lesson = lesson_of(key)
        self._predictions = predictions_of(key)
        self._boxes: dict[str, panels.PredictionBox] = {}
        self._folds: dict[str, panels.SeenFold] = {}

    def predict(self, number: int = 1) -> panels.PredictionBox:
        """The prediction of this number."""
        asked = self._predictions[number - 1]
        box = panels.PredictionBox(
            asked, answers.recall(asked.key), lambda words: answers.remember(asked.key, words)
        )
        box.on_kept = lambda: self._open(asked.panel)
        self._boxes[asked.key] = box
        return box

    def panel(self, name: str, **settings_text: str) -> panels.Panel:
        """The panel of this name."""
        return panels.show_panel(self.key, name, settings_text=settings_text, ask=asked_in_panels())

    def seen(self, name: str, say: Callable[[Facts, str], str] | None = None) -> panels.SeenFold:
        """What one should have seen in a panel; open once its prediction is kept, or on request. `say` in
        place
        of the panel's own words, where the panel is another lesson's.
        """
        asked = [each for each in self._predictions if each.panel == name]
        is_open = bool(asked) and all(answers.recall(each.key) for each in asked)
        fold = panels.SeenFold(lambda: self._seen_words(name, asked, say), is_open=is_open)
        self._folds[name] = fold
        watch_units_and_rig(("seen", self.key, name), fold.refresh)
        return fold

    def _open(self, panel: str) -> None:
        if panel in self._folds:
            self._folds[panel].open()

    def _seen_words(
        self, name: str, asked: Sequence[Prediction], say: Callable[[Facts, str], str] | None
    ) -> str:
        told = [words for each in asked if (words := chosen_words(each, answers.recall(each.key)))]
        seen = say or panel_of(self.key, name).seen
        if seen is not None:
            rig, which = rig_shown() if say else rig_shown(self._demo(name))
            told += [which] if which else []
            told.append(panels.words_or_not_known(lambda: seen(Facts(rig), panels.system_in_use())))
        return "\n\n".join(told)

    def _demo(self, name: str) -> str:
        from towlib.lessons.slider_rows import load_panel

        return load_panel(self.key, name).demo

    def exercise(self, number: int) -> panels.ExerciseBox:
        """The exercise of this number."""
        exercise = self.lesson.exercises[number - 1]

        def draw(seed: int) -> Any:
            return exercise.draw(seed, panels.system_in_use())

        def check(seed: int, which: int, text: str) -> str:
            question = draw(seed).questions[which]
            key = answers.answer_key(self.key, number, which, len(draw(seed).questions))
            return answers.checked(key, text, judge_question(text, question))

        box = panels.ExerciseBox(draw, check)
        settings.watch(
            ("exercise", self.key, number),
            lambda name, value: box.refresh() if name == "units" else None,
        )
        return box

    def limits(self, rules: Iterable[Rule] | Callable[[Route], Iterable[Rule]]) -> panels.LiveText:
        """These limits on the rig in use, the closest first, as a table; `rules` may hang on the road."""
        if callable(rules):
            of_road = rules
            return live(rules, lambda: limits_table(tuple(of_road(road_chosen()))))
        fixed = tuple(rules)
        return live(fixed, lambda: limits_table(fixed))

    def words(self, say: Callable[[Rig, Route, str], str | Sequence[str]]) -> panels.LiveText:
        """Sentences on the rig in use and the road chosen: `say(rig, road, system)`."""

        def make() -> str:
            rig, which = rig_shown()
            lines = say(rig, road_chosen(), panels.system_in_use())
            text = [lines] if isinstance(lines, str) else list(lines)
            return "".join(f"<p>{html.escape(line)}</p>" for line in [which, *text] if line)

        return live(getattr(say, "__code__", say), make)

    def tables(self, make: Callable[[str], Table | Tables]) -> panels.LiveText:
        """Tables in the units chosen: `make(system)`."""
        return live(getattr(make, "__code__", make), lambda: make(panels.system_in_use())._repr_html_())

    def how_sure(self, rules: Iterable[Rule | str] = ()) -> panels.AnswerButton:
        """A button that works out these limits, by rule or key, in many cases on the road chosen."""
        keys = tuple(rule if isinstance(rule, str) else rule.key for rule in rules)

        def work() -> str:
            rig, which = rig_shown()
            road = road_chosen()
            sampled = sample_plan(rig, road, count=settings.chosen("cases"), keys=keys)
            return "\n".join(
                [
                    *([which] if which else []),
                    f"Road: {road.name}.",
                    *certainty_words(sampled, panels.system_in_use()),
                ]
            )

        return panels.AnswerButton(
            "How sure is this?", "Works the limits out in many cases, every ± and assumed value varied", work
        )


def live(who: Hashable, make: Callable[[], str], again: str = "") -> panels.LiveText:
    """Text on the rig in use, made anew when units, rig, road or cases were chosen; errors as a sentence.

    `who`: what the text is, so that the cell run again takes its own place; `again`: words of a button that
    makes it anew, for text that hangs on something else besides.
    """

    def safe() -> str:
        try:
            return make()
        except NotKnown as unknown:
            return f"<p>Not known: {html.escape(panels.not_known_words(unknown.reason))}</p>"
        except ValueError as error:  # InputError is one
            return f"<p>{html.escape(str(error))}</p>"

    def look_again() -> str:
        text.refresh()
        return ""

    button = (
        [panels.AnswerButton(again, "Look again at what is there now", look_again).widget] if again else []
    )
    text = panels.LiveText(safe, button)
    settings.watch(("text", who), lambda name, value: text.refresh())
    return text


def whole_plan() -> panels.LiveText:
    """The plan for the rig in use on the road chosen, to read on the screen."""

    def make() -> str:
        rig, which = rig_shown()
        page = trip_sheet.plan_page(rig, road_chosen(), panels.system_in_use())
        return f"<p>{html.escape(which or whose_rig())}</p>{page}"

    return live("plan", make, "Read my rig again")


def whose_rig() -> str:
    """Whose rig is shown, in a sentence that says how to see the other."""
    if settings.chosen("rig") == "mine":
        return "This is your own rig."
    return "This is the invented pair; choose 'my rig' under Vehicles to see yours."


def sheet_button() -> panels.AnswerButton:
    """A button that writes the trip sheet for the rig in use, the road and the units chosen."""

    def write() -> str:
        rig, which = rig_shown()
        said = trip_sheet.write_sheet(make_plan(rig, road_chosen()), panels.system_in_use())
        return f"{which or whose_rig()} {said}"

    return page_button(
        "Write the trip sheet",
        "Writes my_trip_sheet.html beside your rig file, to print",
        write,
        name=trip_sheet.SHEET,
        link="Open the sheet",
    )


def measuring_button() -> panels.AnswerButton:
    """A button that writes the measuring sheet."""
    return page_button(
        "Write the measuring sheet",
        "Writes a page with drawings and a table to write into, to print",
        measuring_sheet.write_measuring_sheet,
        name=measuring_sheet.SHEET,
        link="Open the measuring sheet",
    )


def page_button(
    words: str, tip: str, write: Callable[[], str], *, name: str, link: str
) -> panels.AnswerButton:
    """A button that writes a page of this name beside the reader's rig, says so and offers a link to it; a
    fault of a file or folder as a sentence.
    """

    def safe() -> str:
        button.offer("")
        try:
            said = write()
            button.offer((reader_folder() / name).read_text(encoding="utf-8"))
        except (InputError, ValueError, OSError) as error:
            return str(error)
        return said

    button = panels.AnswerButton(words, tip, safe, link=link)
    return button


def what_is_missing() -> panels.LiveText:
    """The facts that would settle most limits of the reader's rig on the road chosen."""
    return live("missing", lambda: lines_html(reader_form.what_is_missing(road_chosen())), "Look again")


def where_you_are() -> panels.LiveText:
    """Predictions kept and exercises right, lesson by lesson."""
    return live("progress", lambda: lines_html(progress.table()), "Look again")


def lines_html(text: str) -> str:
    """Lines of text as HTML, those that begin with a dash as a list."""
    parts: list[str] = []
    for line in text.splitlines():
        words = html.escape(line.removeprefix("- "))
        if not line.startswith("- "):
            parts.append(f"<p>{words}</p>")
        elif parts and parts[-1].endswith("</ul>"):
            parts[-1] = f"{parts[-1].removesuffix('</ul>')}<li>{words}</li></ul>"
        else:
            parts.append(f"<ul><li>{words}</li></ul>")
    return "".join(parts)


def watch_units_and_rig(who: Hashable, refresh: Callable[[], None]) -> None:
    """Call `refresh` when units or rig were chosen, or the rig was changed in a panel."""
    told = ("units", "rig", panels.RIG_FILE)
    settings.watch(who, lambda name, value: refresh() if name in told else None)


def controls() -> Any:
    """Units, rig, road and number of cases, chosen once for the whole workbook."""
    return panels.in_a_row(
        panels.choice_of("units", {"metric": "metric", "US": "us"}, "Units"),
        panels.choice_of("rig", {"invented pair": "invented", "my rig": "mine"}, "Vehicles"),
        panels.choice_of("road", road_names(), "Road"),
        panels.choice_of("cases", {f"{count:,}": count for count in settings.CASES}, "Cases"),
    )


def road_names() -> dict[str, str]:
    """Roads of the workbook and those beside the reader's rig, by what they are called."""
    own = (path for ending in ("*.csv", "*.gpx") for path in sorted(reader_folder().glob(ending)))
    found = [*sorted((DATA / "routes").iterdir()), *own]
    return {path.stem.replace("_", " "): path.name for path in found if path.suffix in (".csv", ".gpx")}


def road_chosen() -> Route:
    """The road that was chosen for the whole workbook."""
    name = settings.chosen("road")
    own = reader_folder() / name
    return load_route(own if own.is_file() else DATA / "routes" / name)


def rig_shown(demo: str = "demo_comfortable") -> tuple[Rig, str]:
    """The rig in use, and a sentence when it is not the one that was asked for."""
    if settings.chosen("rig") == "mine":
        try:
            return rig_in_use.readers_own(demo), ""
        except InputError as error:
            return rig_in_use.invented(demo), f"The invented rig, because yours cannot be used yet. {error}"
    return rig_in_use.invented(demo), ""


def limits_table(rules: Sequence[Rule]) -> str:
    """Limits on the rig in use as an HTML table, the closest first."""
    rig, which = rig_shown()
    facts, system = Facts(rig), panels.system_in_use()
    limits = by_closeness([answer(rule, facts) for rule in rules])
    rows = "".join(
        f"<tr><td>{html.escape(limit.title)}{'*' if limit.assumed else ''}</td>"
        f"<td>{html.escape(_of(limit, limit.demand, system))}</td>"
        f"<td>{html.escape(_of(limit, limit.capacity, system))}</td>"
        f"<td>{html.escape(panels.answer_words(limit, system))}</td></tr>"
        for limit in limits
    )
    star = "<p>* rests on an assumed value.</p>" if any(limit.assumed for limit in limits) else ""
    return (
        f"<p>{html.escape(which)}</p><table><tr><th>limit</th><th>asked</th><th>allowed</th><th>answer</th></tr>"
        f"{rows}</table>{star}"
    )


def _of(limit: Limit, value: float | None, system: str) -> str:
    return "–" if value is None else in_words(value, limit.kind, system)


def chosen_words(asked: Prediction, kept: str) -> str:
    """What the reader chose, and what is said to it."""
    if not kept:
        return ""
    choice, _ = panels.parted_guess(kept, [option.words for option in asked.options])
    option = next((each for each in asked.options if each.words == choice), None)
    if option is None:
        return f"You wrote: {kept}"
    mark = "Right." if option.right else "Not so."
    return f"You chose: *{option.words}* **{mark}** {option.said}"


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *notes: str) -> Table:
    """A table of words, with notes under it."""
    return Table(head, rows, *notes)


def worked(*rows: Compared | str) -> Worked:
    """A table of compared values; texts among them stand under it."""
    return Worked(
        [row for row in rows if isinstance(row, Compared)], [row for row in rows if isinstance(row, str)]
    )
