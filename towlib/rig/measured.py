"""Field types of a rig file: text with a unit in, a checked SI float out, and what the form needs to ask for
it.
"""

from typing import Annotated, Any, NamedTuple

from pydantic import BeforeValidator, Field
from pydantic.fields import FieldInfo

from towlib.errors import InputError, quote
from towlib.units import KINDS, from_si, number, to_si, unit_label


class Measured(NamedTuple):
    """How a field is read: its kind and the range outside which it must be a slip."""

    kind: str
    low: float  # SI
    high: float  # SI
    example: str = ""  # one that lies in the range; the kind's own otherwise

    def read(self, value: Any) -> float:
        """Text with a unit as SI, inside the range; InputError otherwise."""
        try:
            value_si = to_si(value, self.kind)
        except InputError as error:
            raise InputError(error.found, self.wanted()) from None
        if not self.low <= value_si <= self.high:
            raise InputError(f"{quote(value)}, outside the range that can be real", self.wanted())
        return value_si

    def wanted(self) -> str:
        """What is wanted, with the range and an example."""
        low, high = (number(from_si(end, self.kind), 4) for end in (self.low, self.high))
        name = "size" if self.kind == "size" else self.kind.replace("_", " ")
        example = self.example or KINDS[self.kind].example
        return f"{name} from {low} to {high} {unit_label(self.kind)}, for example '{example}'"


class BareNumber(NamedTuple):
    """How a number without a unit is read: its range."""

    name: str
    low: float
    high: float
    example: float

    def read(self, value: Any) -> float:
        """The number when it lies in the range; InputError otherwise."""
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or not self.low <= value <= self.high
        ):
            raise InputError(
                quote(value),
                f"{self.name} between {self.low:g} and {self.high:g} without a unit, for example"
                f" {self.example:g}",
            )
        return float(value)


class WholeNumber(NamedTuple):
    """How a count is read: a whole number in a range."""

    low: int
    high: int
    example: int

    def read(self, value: Any) -> int:
        """The number when it is whole and inside the range; InputError otherwise."""
        if isinstance(value, bool) or not isinstance(value, int) or not self.low <= value <= self.high:
            raise InputError(
                quote(value), f"a whole number from {self.low} to {self.high}, for example {self.example}"
            )
        return value


def measured(kind: str, low: float, high: float, example: str = "") -> Any:
    """An optional pydantic field type of this kind and SI range."""
    rule = Measured(kind, low, high, example)
    return Annotated[float, BeforeValidator(rule.read), rule]


def asked(
    description: str,
    *,
    where: str = "",
    settles: str = "",
    example: str = "",
    label: str = "",
    default: Any = None,
    required: bool = False,
) -> Any:
    """A field with the words the form and the field list show: what it is, where to read it, what it
    settles; and a short label of at most 34 characters for a slider.
    """
    extra: dict[str, Any] = {"where": where, "settles": settles, "example": example, "label": label}
    if required:
        return Field(..., description=description, json_schema_extra=extra)
    return Field(default, description=description, json_schema_extra=extra)


def rule_of(info: FieldInfo, kind: type = Measured) -> Any:
    """The Measured (or WholeNumber) rule of a model field, None when it has none."""
    for item in (*info.metadata, *getattr(info.annotation, "__args__", ())):
        for rule in (item, *getattr(item, "__metadata__", ())):
            if isinstance(rule, kind):
                return rule
    return None


Mass = measured("mass", 1.0, 20_000.0)
SmallMass = measured("mass", 0.1, 1_000.0, "22 kg")
Length = measured("length", 0.05, 12.0)
Size = measured("size", 0.001, 3.0)
SignedSize = measured("size", -0.6, 0.6, "-4 in")
Position = measured("length", -3.0, 12.0, "2.9 m")
Area = measured("area", 0.01, 12.0)
Force = measured("force", 10.0, 1e6)
Speed = measured("speed", 1.0, 45.0)
Power = measured("power", 5e3, 1e6)
Torque = measured("torque", 10.0, 3000.0)
Pressure = measured("pressure", 50e3, 1000e3)
AirTemperature = measured("temperature", -40.0, 55.0)
PartTemperature = measured("temperature", 40.0, 1000.0, "115 degC")
Angle = measured("angle", 0.001, 1.6)
Share = measured("share", 0.01, 1.0)
ShaftSpeed = measured("shaft_speed", 100.0, 12_000.0)
EngineVolume = measured("volume", 2e-4, 2e-2, "3.6 L")
TankVolume = measured("volume", 5e-3, 0.5, "80 L")
SpringRate = measured("spring_rate", 1e3, 1e6)
Conductance = measured("conductance", 50.0, 20e3)
HeatCapacity = measured("heat_capacity", 1e3, 1e6)
Stress = measured("stress", 1e7, 3e9)
SmallSize = measured("size", 0.0005, 0.5, "12 mm")
GradeChange = measured("grade", 0.005, 0.6, "15 %")
WideLength = measured("length", 4.0, 200.0, "12 m")
Voltage = measured("voltage", 0.0, 32.0)
Current = measured("current", 0.0, 1_500.0)
Charge = measured("charge", 10.0, 400.0)
Hours = measured("hours", 0.1, 240.0, "8 h")
Distance = measured("distance", 100.0, 2e7, "300 km")
Acceleration = measured("acceleration", 0.5, 12.0)
Give = measured("size", 0.0, 0.05, "2 mm")  # chain anchors; 0: stiff
Resistance = measured("resistance", 0.0, 20.0, "0.05 ohm")
SmallConductance = measured("conductance", 0.5, 50.0, "4 W/K")
Toe = measured("angle", -0.06, 0.06, "0.2 deg")
Castor = measured("angle", -0.1, 0.3, "4 deg")
SmallTorque = measured("torque", 0.5, 300.0, "30 N m")
