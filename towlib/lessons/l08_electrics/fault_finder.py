"""Lesson 08, fault finder: where to put the meter, what it should show, and what follows from the reading."""

import textwrap
from typing import NamedTuple

from towlib.draw.figures import Picture
from towlib.draw.outlines import wheel
from towlib.handbook.electric_tables import Step, fault_steps
from towlib.rig.facts import Facts
from towlib.units import show

WIDE, NARROW = 112, 50  # letters in a line of the picture
LINES = 5


class FaultStep(NamedTuple):
    """Everything the fourth panel shows."""

    symptom: str
    number: int
    steps: int
    step: Step
    reading_v: float
    as_expected: bool


def fault_finder(facts: Facts, *, symptom: str, step: int, reading_v: float) -> FaultStep:
    """One measurement of the fault finder and what a reading means; a step beyond the last is the last."""
    steps = fault_steps(symptom)
    number = min(step, len(steps))
    chosen = steps[number - 1]
    return FaultStep(
        symptom, number, len(steps), chosen, reading_v, chosen.low_v <= reading_v <= chosen.high_v
    )


def _expected(step: Step) -> str:
    return f"{step.low_v:g} to {step.high_v:g} V"


def fault_finder_words(result: FaultStep, system: str) -> str:
    """The sentence under the fourth panel."""
    step = result.step
    verdict = (
        f"healthy, so {step.as_expected}"
        if result.as_expected
        else f"not healthy, so {step.cause}; mend: {step.mend}"
    )
    return (
        f"Step {result.number} of {result.steps} for ‘{result.symptom}’:"
        f" {show(result.reading_v, 'voltage', system)} where a healthy circuit shows {_expected(step)}:"
        f" {verdict}."
    )


def fault_finder_seen(facts: Facts, system: str) -> str:
    """What one should have seen in the fourth panel."""
    found = fault_finder(facts, symptom="wrong lamps glow", step=1, reading_v=4.1)
    step = found.step
    return (
        f"For *{found.symptom}*, {show(found.reading_v, 'voltage', system)} between the {step.red} and the"
        f" {'clean metal of the tow vehicle' if step.black == 'tow frame' else step.black}, where a healthy"
        f" circuit shows {_expected(step)}: {step.cause}. Two kinds of measurement do nearly all the work:"
        " **across the lamp** (are the volts there?) and **along a wire that should take nothing** (who takes"
        " them?). Both only with the lamps on."
    )


TOP, LOW, METER = 5.3, 3.3, 6.6
PLACES = {
    "battery plus": (1.0, TOP),
    "battery minus": (1.0, LOW),
    "tow frame": (3.0, LOW),
    "pin tail": (5.0, TOP),
    "pin ground": (5.0, LOW),
    "lamp feed": (8.6, TOP),
    "lamp shell": (8.6, LOW),
}
NAMES = {
    "battery plus": "battery +",
    "battery minus": "battery −",
    "tow frame": "clean metal",
    "pin tail": "pin tail",
    "pin ground": "pin ground",
    "lamp feed": "lamp feed",
    "lamp shell": "lamp shell",
}


class FaultFinderDrawing:
    """The circuit with the meter's two tips, and the step in words."""

    size_in, frames, narrow_in = (10.0, 3.8), 1, (4.9, 4.4)

    def build(self, picture: Picture, system: str) -> None:
        """Frame and named parts."""
        low = -2.6 if picture.narrow else 0.3
        picture.frame(0, title="Where the meter goes", x=(0.0, 10.6), y=(low, 6.3), bare=True)
        picture.reference("loop", 0)
        picture.fixed_words(0, "tow vehicle", 2.9, 4.3)
        picture.fixed_words(0, "towed", 9.6, 4.3)
        picture.reference("plug", 0)
        picture.shape("lamp", 0)
        for place, (x, y) in PLACES.items():
            name = "metal" if picture.narrow and place == "tow frame" else NAMES[place]
            picture.fixed_words(0, name, x, y + 0.52 if y == TOP else y - 0.52)
        picture.point("places", 0, 4)
        for tip, style in (("red", 1), ("black", 4)):
            picture.line(f"{tip} lead", 0, style)
        picture.fixed_words(0, "red", METER - 1.1, 4.3)
        picture.fixed_words(0, "black", METER + 1.18, 4.3)
        picture.shape("meter", 0, 0)
        picture.words("reading", 0, bold=True, align="center")
        for i in range(LINES):
            picture.words(f"text {i}", 0)
        for i in range(2):
            picture.words(f"healthy {i}", 0, bold=True)

    def update(self, picture: Picture, result: FaultStep, system: str) -> None:
        """Move the parts to a result."""
        step = result.step
        picture.move("loop", [1.0, 8.6, 8.6, 1.0, 1.0], [TOP, TOP, LOW, LOW, TOP])
        picture.move("plug", [5.0, 5.0], [LOW - 0.15, TOP + 0.15])
        picture.move("lamp", *zip(*wheel((8.6, 4.3), 0.33), strict=True))
        picture.move("places", *zip(*PLACES.values(), strict=True))
        picture.move("meter", [METER - 0.75, METER + 0.75, METER + 0.75, METER - 0.75], [4.0, 4.0, 4.6, 4.6])
        picture.say("reading", show(result.reading_v, "voltage", system), METER, 4.3)
        for tip, place, side in (("red", step.red, -1.0), ("black", step.black, 1.0)):
            x, y = PLACES[place]
            picture.move(f"{tip} lead", [METER + 0.5 * side, x], [4.6 if y == TOP else 4.0, y])
        letters = NARROW if picture.narrow else WIDE
        lines = textwrap.wrap(f"Step {result.number} of {result.steps}. {step.do}", letters)
        for i in range(LINES):
            picture.say(f"text {i}", lines[i] if i < len(lines) else "", 0.0, 2.0 - 0.65 * i)
        verdict = "healthy" if result.as_expected else "NOT HEALTHY"
        words = f"A healthy circuit shows {_expected(step)}; this reading is {verdict}."
        said = textwrap.wrap(words, letters - 4)
        below = len(lines) if picture.narrow else 2
        for i in range(2):
            picture.say(f"healthy {i}", said[i] if i < len(said) else "", 0.0, 2.0 - 0.65 * (below + i))
