"""Exercises: numbers that differ by seed, and an answer that says why it is right or wrong."""

import contextlib
import math
import random
from collections.abc import Mapping

from towlib.errors import InputError, quote
from towlib.lessons.declare import Question
from towlib.units import KINDS, SYSTEMS, show, to_si, unit_label

RIGHT_WITHIN, ROUNDED_WITHIN = 0.01, 0.03
# mistakes everyone makes, as the factor they put on the right answer
USUAL_FACTORS = {
    2.0: "twice the right answer: was something counted double, or both chains for one?",
    0.5: "half the right answer: was one of two sides, chains or directions left out?",
    9.80665: "too large by g: a mass was turned into a force that was not asked for",
    1 / 9.80665: "too small by g: a force was asked for, and this is the mass behind it",
    2.20462: "too large by 2.2: kilograms and pounds are mixed",
    0.453592: "too small by 2.2: kilograms and pounds are mixed",
    100.0: "too large by 100: per cent and plain ratio are mixed",
    0.01: "too small by 100: per cent and plain ratio are mixed",
    57.29578: "too large by 57.3: degrees and radians are mixed",
    0.0174533: "too small by 57.3: degrees and radians are mixed",
    1.745329: "too large by 1.75: a grade in per cent was taken for degrees",
    0.5729578: "too small by 1.75: degrees were taken for a grade in per cent",
    3.6: "too large by 3.6: km/h and m/s are mixed",
    1 / 3.6: "too small by 3.6: km/h and m/s are mixed",
    1.609344: "too large by 1.61: miles and kilometres are mixed",
    1 / 1.609344: "too small by 1.61: miles and kilometres are mixed",
    3.28084: "too large by 3.28: feet and metres are mixed",
    0.3048: "too small by 3.28: feet and metres are mixed",
    4.448222: "too large by 4.45: newtons and pounds-force are mixed",
    1 / 4.448222: "too small by 4.45: newtons and pounds-force are mixed",
    1000.0: "too large by 1000: a thousand (kilo, or millimetres) was lost on the way",
    0.001: "too small by 1000: a thousand (kilo, or millimetres) was lost on the way",
}


def numbers(seed: int, **ranges: tuple[float, float, float]) -> dict[str, float]:
    """Numbers for an exercise: each drawn from (low, high, step), the same for the same seed.

    >>> numbers(1, mass_kg=(1000, 2000, 50)) == numbers(1, mass_kg=(1000, 2000, 50))
    True
    """
    draw = random.Random(seed)
    return {
        name: low + step * draw.randint(0, round((high - low) / step))
        for name, (low, high, step) in ranges.items()
    }


def judge(
    answer: str | None, expected_si: float, kind: str, *, traps: Mapping[str, float] | None = None
) -> str:
    """One sentence on an answer such as "1340 kg"; `traps` are wrong SI results by the reason that leads to
    them.

    >>> judge("2950 lb", 1338.1, "mass")
    'Right: 2950 lb, that is 1,338 kg.'
    >>> judge(None, 1338.1, "mass")
    'Not answered yet: type it with its unit, for example 950 kg.'
    """
    if answer is None or answer == "":
        return f"Not answered yet: type it with its unit, for example {_sample(kind)}."
    try:
        given = to_si(answer, kind)
    except InputError as error:
        return f"Not read: {error}"
    if _close(given, expected_si, RIGHT_WITHIN):
        return (
            f"Right: {answer}, that is {_both(expected_si, kind)}."
            if answer not in _both(expected_si, kind)
            else f"Right: {answer}."
        )
    for reason, value in (traps or {}).items():
        if _close(given, value, RIGHT_WITHIN):
            return f"Not yet: {reason}."
    if _close(given, expected_si, ROUNDED_WITHIN):
        return "Nearly: the way is right, only the rounding is off; carry one more digit."
    if _close(-given, expected_si, RIGHT_WITHIN):
        return "Not yet: the size is right and the sign is wrong; which way does it act?"
    unit = _unit_meant(answer, expected_si, kind)
    if unit:
        return f"Not yet: the number is right in {unit}, but another unit was written beside it."
    if expected_si != 0:
        for factor, reason in USUAL_FACTORS.items():
            if _close(given / expected_si, factor, RIGHT_WITHIN):
                return f"Not yet: {reason}."
    return (
        "Not yet: neither the right answer nor a usual slip; go through the worked example again, line by"
        " line."
    )


def judge_question(answer: str | None, question: Question) -> str:
    """One sentence on the answer to a question of an exercise, whatever kind it is.

    >>> judge_question("3", Question("How many?", "count", 4, {"the first was left out": 3}))
    'Not yet: the first was left out.'
    >>> judge_question("b", Question("Which?", "choice", "b", options=("a", "b")))
    'Right: b.'
    """
    answer = (answer or "").strip()
    if question.kind not in ("count", "choice"):
        return judge(answer, question.right, question.kind, traps=question.traps)
    if not answer:
        how = "choose one" if question.kind == "choice" else "type a whole number, for example 12"
        return f"Not answered yet: {how}."
    given: str | int = answer
    if question.kind == "count":
        try:
            given = int(answer)
        except ValueError:
            return f"Not read: {quote(answer)}; wanted a whole number, for example 12."
    if given == question.right:
        return f"Right: {answer}."
    for reason, value in question.traps.items():
        if given == value:
            return f"Not yet: {reason}."
    return "Not yet: go through the worked example again, line by line."


def _close(value: float, target: float, share: float) -> bool:
    return math.isclose(value, target, rel_tol=share, abs_tol=1e-12)


def _both(value_si: float, kind: str) -> str:
    return show(value_si, kind, "metric")


def _sample(kind: str) -> str:
    return {"mass": "950 kg", "force": "8.2 kN", "speed": "64 km/h"}.get(kind, KINDS[kind].example)


def _unit_meant(answer: str, expected_si: float, kind: str) -> str:
    """The unit beside which the typed number would have been right, the usual ones first; '' when there is
    none.
    """
    spellings, text = KINDS[kind].spellings, " ".join(answer.split())
    number = text.removesuffix(max((unit for unit in spellings if text.endswith(unit)), key=len))
    usual = [unit for unit in (unit_label(kind, system) for system in SYSTEMS) if unit in spellings]
    for unit in (*usual, *spellings):
        with contextlib.suppress(InputError):  # too large in that unit
            if _close(to_si(f"{number} {unit}", kind), expected_si, RIGHT_WITHIN):
                return unit
    return ""
