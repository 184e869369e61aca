"""In words: in how many cases each limit holds, what moves it most, and what to measure better."""

from functools import lru_cache

import numpy as np

from towlib.field_lists import RigField, rig_fields
from towlib.limits import NOT_KNOWN
from towlib.rig import row_of
from towlib.sampled import SampledLimit, SampledPlan, Uncertain
from towlib.units import from_si, number, unit_label

RANGE = "every value may lie anywhere between its ends with equal chance (JCGM 100:2008, 4.3.7)"


def certainty_words(sampled: SampledPlan, system: str = "metric", *, keys: tuple[str, ...] = (), most: int = 0) -> list[str]:
    """A line on what varies, then one for each limit: first those that hold in the smallest share of the cases, then by room left."""
    given, assumed = ([each for each in sampled.uncertain if each.assumed is kind] for kind in (False, True))
    lines = [f"{sampled.cases:,} cases: {_count(len(given), 'value')} with your ± and {_count(len(assumed), 'assumption')} with a range vary; {RANGE}. "
             "All other figures are taken as exact."]
    if not given:
        lines.append("No value carries a ± yet: write '950 ± 15 kg' in the form or the rig file, and your own figures vary too.")
    chosen = [each for each in sampled.limits if not keys or each.limit.key in keys]
    chosen.sort(key=lambda each: (each.holds / each.cases, -float(np.nan_to_num(each.used, nan=np.inf).max())))
    told = [each for each in chosen if each.limit.answer != NOT_KNOWN and (each.most or each.holds < each.cases)]
    lines += [limit_words(each, system) for each in told[:most or None]]
    if most and len(told) > most:
        lines.append(f"{_count(len(told) - most, 'more limit')} of which {sum(each.holds == each.cases for each in told[most:])} hold in every case.")
    still = [each.limit.title for each in chosen if each.limit.answer != NOT_KNOWN and each not in told]
    if still:
        lines.append(f"Within, and nothing that varies moves them: {_listed(still, bool(keys))}.")
    unknown = [each.limit.title for each in chosen if each.limit.answer == NOT_KNOWN]
    if unknown:
        lines.append(f"Not known in any case: {_listed(unknown, bool(keys))}.")
    return lines


def _listed(titles: list[str], whole: bool) -> str:
    return "; ".join(titles) if whole or len(titles) < 5 else f"{len(titles)} limits"


def limit_words(each: SampledLimit, system: str = "metric") -> str:
    """One limit over all cases."""
    if each.limit.answer == NOT_KNOWN:
        return f"{each.limit.title}: not known ({each.limit.missing})."
    text = f"{each.limit.title}: within in {_share(each.holds, each.cases)}"
    unanswered = each.cases - each.known
    if unanswered:
        text += f", not known in {unanswered:,}"
    if each.most is None:
        return f"{text}; nothing that varies moves it."
    low, high = (_used(value) for value in each.used_range)
    return f"{text}. Moved most by {name_of(each.most, system)}: {low} of the limit used at one end, {high} at the other.{_advice(each)}"


def name_of(value: Uncertain, system: str = "metric") -> str:
    """An uncertain value and its ends, for a sentence."""
    field = _field_of(value.path)
    if field.kind == "ratio":
        ends = f"{number(value.low)} to {number(value.high)}"
    else:
        low, high = (number(from_si(end, field.kind, system), 4) for end in (value.low, value.high))
        ends = f"{low} to {high} {unit_label(field.kind, system)}"
    return f"'{field.label}' [{value.path}], {'assumed' if value.assumed else 'given as'} {ends}"


def _advice(each: SampledLimit) -> str:
    """What to measure better, where the answer is not the same in every case."""
    if each.holds in (0, each.cases):
        return ""
    where = _field_of(each.most.path).where
    found = f" ({where})" if where else ""
    return f" {'Measure it' if each.most.assumed else 'Measure it better'}{found}: that would settle most."


def _used(share: float) -> str:
    if share != share:
        return "an amount not known"
    return "more than there is" if share == float("inf") else f"{100.0 * share:.0f} %"


def _share(holds: int, cases: int) -> str:
    return f"all {cases:,} cases" if holds == cases else f"none of {cases:,} cases" if holds == 0 else f"{holds:,} of {cases:,} cases"


def _count(many: int, what: str) -> str:
    return f"{many} {what}{'' if many == 1 else 's'}"


@lru_cache(maxsize=1)
def _fields() -> dict[str, RigField]:
    return {field.path: field for field in rig_fields()}


def _field_of(path: str) -> RigField:
    row = row_of(path)
    return _fields()[f"{row[0]}.0.{row[2]}" if row else path]
