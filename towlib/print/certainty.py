"""In words: in how many cases each limit holds, what moves it most, and what to measure better."""

import numpy as np

from towlib.limits.limit import NOT_KNOWN, OVER, WITHIN
from towlib.plan.many_cases import SampledLimit, SampledPlan, Uncertain
from towlib.print.field_lists import need_field
from towlib.units import from_si, number, unit_label

RANGE = "every value may lie anywhere between its ends with equal chance (JCGM 100:2008, 4.3.7)"


def certainty_words(
    sampled: SampledPlan, system: str = "metric", *, keys: tuple[str, ...] = (), most: int = 0
) -> list[str]:
    """What varies, then the limits: first those that hold in some cases only, then by the room left; those
    that nothing moves in one line.
    """
    given, assumed = ([each for each in sampled.uncertain if each.assumed is kind] for kind in (False, True))
    lines = [
        f"{_cases(sampled.cases)}: {_count(len(given), 'value')} with a ± and"
        f" {_count(len(assumed), 'assumed value')} with a range vary; {RANGE}. All other figures are taken as"
        " exact. A share of cases is not a chance: it tells how far these figures carry."
    ]
    if not given:
        lines.append(
            "No value carries a ± yet: write '950 ± 15 kg' in the form or the rig file, and your own figures"
            " vary too."
        )
    chosen = sorted(
        (each for each in sampled.limits if not keys or each.limit.key in keys),
        key=lambda each: -float(np.nan_to_num(each.used, nan=0.0).max()),
    )
    told_alone = [each for each in chosen if not _every_case(each)]
    moved = [each for each in chosen if _every_case(each) and each.known and each.most]
    told = [*told_alone, *moved][: max(most, len(told_alone)) or None]
    lines += [limit_words(each, system) for each in told]
    told_keys = {each.limit.key for each in told}
    rest = [each for each in chosen if each.limit.key not in told_keys]
    for words, answer in (
        ("Over in every case", OVER),
        ("Within in every case", WITHIN),
        ("Not known in any case", NOT_KNOWN),
    ):
        group = [each for each in rest if _every_case(each) == answer]
        if group:
            lines.append(
                f"{words}: {_listed([each.limit.title for each in group], bool(keys) or len(group) < 5)}."
            )
    return lines


def _mixed(each: SampledLimit) -> bool:
    """Whether the limit holds, or is known, in some cases only."""
    return 0 < each.holds < each.cases or 0 < each.known < each.cases


def _every_case(each: SampledLimit) -> str:
    """The answer that every case and the plan itself give; '' where they differ, or the plan is in doubt:
    cases drawn at random need not reach the ends at which the plan decides.
    """
    if each.limit.doubt or _mixed(each):
        return ""
    of_cases = NOT_KNOWN if not each.known else WITHIN if each.holds else OVER
    return of_cases if of_cases == each.limit.answer else ""


def _listed(titles: list[str], whole: bool) -> str:
    return "; ".join(titles) if whole else f"{len(titles)} limits"


def limit_words(each: SampledLimit, system: str = "metric") -> str:
    """One limit over all cases; where the plan is in doubt its answer comes first, and no case makes it
    within.
    """
    planned = each.limit.answer_text(system)
    if not each.known and each.limit.answer == NOT_KNOWN:
        return f"{each.limit.title}: {planned}."
    if each.limit.doubt:
        text = f"{planned}; over in {_share(each.known - each.holds, each.cases)}"
    else:
        text = f"within in {_share(each.holds, each.cases)}"
    text = f"{each.limit.title}: {text}"
    if each.known < each.cases:
        text += f", not known in {each.cases - each.known:,}"
    if not each.limit.doubt and not _every_case(each):
        text += f" (with the best values: {planned})"
    mixed = _mixed(each)
    if each.most is None:
        return (
            f"{text};"
            f" {'no value moves it alone, several together do' if mixed else 'nothing that varies moves it'}."
        )
    low, best, high = (_used(share) for share in each.used_range)
    if low == best == high:
        return f"{text}; hardly moved by anything, {best} of the limit used."
    middle = f"{best} at {_value(each.most, each.most.best, system)}, "
    advice = _advice(each.most) if mixed or each.limit.doubt else ""
    return (
        f"{text}. Moved most by {name_of(each.most)}: of the limit used {low} at"
        f" {_value(each.most, each.most.low, system)}, {middle}{high} at"
        f" {_value(each.most, each.most.high, system)}.{advice}"
    )


def name_of(value: Uncertain) -> str:
    """An uncertain value, for a sentence."""
    cut = ", its ± cut at what the field can have" if value.cut else ""
    return f"'{need_field(value.path).label}' [{value.path}] ({'assumed' if value.assumed else 'given'}{cut})"


def _value(value: Uncertain, amount: float, system: str) -> str:
    kind = need_field(value.path).kind
    return (
        number(amount)
        if kind == "ratio"
        else f"{number(from_si(amount, kind, system), 4)} {unit_label(kind, system)}"
    )


def _advice(value: Uncertain) -> str:
    """What to measure better, where the answer is not the same in every case."""
    where = need_field(value.path).where
    if where:
        return f" {'Measure it' if value.assumed else 'Measure it better'} ({where}): that would settle most."
    return (
        " No tape or scale tells it: judge by the worse end, or ask the maker."
        if value.assumed
        else " Measure it better: that would settle most."
    )


def _used(share: float) -> str:
    if share != share:
        return "not known"
    return f"{100.0 * share:.0f} %" if share <= 9.99 else "more than ten times"


def _cases(many: int) -> str:
    return f"{many:,} case{'' if many == 1 else 's'}"


def _share(holds: int, cases: int) -> str:
    if holds == cases > 1:
        return f"all {_cases(cases)}"
    if holds == 0:
        return f"none of {_cases(cases)}"
    return f"{holds:,} of {_cases(cases)}"


def _count(many: int, what: str) -> str:
    head, _, tail = what.partition(" with")
    return f"{many} {what}" if many == 1 else f"{many} {head}s{' with' + tail if tail else ''}"
