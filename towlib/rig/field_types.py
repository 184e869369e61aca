"""What a field of the rig model holds, read from the model's own types."""

from collections.abc import Iterator
from types import NoneType
from typing import Any, Literal, NamedTuple, get_args, get_origin

from pydantic.fields import FieldInfo

from towlib.rig.measured import BareNumber, Measured, WholeNumber, rule_of


class FieldType(NamedTuple):
    """What a field holds: a kind of `towlib.units`, or number, count, choice, switch, list or text."""

    kind: str
    rule: Measured | BareNumber | WholeNumber | None = None
    choices: tuple[str, ...] = ()


def type_of(info: FieldInfo) -> FieldType:
    """The type of a model field.

    >>> from towlib.rig.model import field_info
    >>> type_of(field_info("tow_vehicle.gvwr")).kind, type_of(field_info("safety_chains.crossed")).kind
    ('mass', 'switch')
    >>> type_of(field_info("tow_vehicle.gearbox.kind")).choices
    ('manual', 'automatic')
    """
    if any(get_origin(part) is tuple for part in _parts(info.annotation)):
        return FieldType("list", rule_of(info, BareNumber))
    if rule := rule_of(info):
        return FieldType(rule.kind, rule)
    if rule := rule_of(info, BareNumber):
        return FieldType("number", rule)
    if rule := rule_of(info, WholeNumber):
        return FieldType("count", rule)
    parts = list(_parts(info.annotation))
    choices = tuple(word for part in parts if get_origin(part) is Literal for word in get_args(part))
    if choices:
        return FieldType("choice", None, choices)
    return FieldType("switch" if bool in parts else "text")


def _parts(annotation: Any) -> Iterator[Any]:
    """An annotation and all it is made of, None left out."""
    if annotation is NoneType:
        return
    yield annotation
    if get_origin(annotation) is not Literal:
        for part in get_args(annotation):
            yield from _parts(part)
