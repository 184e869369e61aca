"""Field types of a rig file: text with a unit in, a checked SI float out, and what the form needs to ask for
it.
"""

from typing import Annotated, Any, NamedTuple

from pydantic import BeforeValidator, Field, GetCoreSchemaHandler
from pydantic.fields import FieldInfo
from pydantic_core import CoreSchema

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

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return BeforeValidator(self.read).__get_pydantic_core_schema__(source, handler)


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

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return BeforeValidator(self.read).__get_pydantic_core_schema__(source, handler)


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

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return BeforeValidator(self.read).__get_pydantic_core_schema__(source, handler)


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


Mass = Annotated[float, Measured("mass", 1.0, 20_000.0)]
SmallMass = Annotated[float, Measured("mass", 0.1, 1_000.0, "22 kg")]
Length = Annotated[float, Measured("length", 0.05, 12.0)]
Size = Annotated[float, Measured("size", 0.001, 3.0)]
SignedSize = Annotated[float, Measured("size", -0.6, 0.6, "-4 in")]
Position = Annotated[float, Measured("length", -3.0, 12.0, "2.9 m")]
Area = Annotated[float, Measured("area", 0.01, 12.0)]
Force = Annotated[float, Measured("force", 10.0, 1e6)]
Speed = Annotated[float, Measured("speed", 1.0, 45.0)]
Power = Annotated[float, Measured("power", 5e3, 1e6)]
Torque = Annotated[float, Measured("torque", 10.0, 3000.0)]
Pressure = Annotated[float, Measured("pressure", 50e3, 1000e3)]
AirTemperature = Annotated[float, Measured("temperature", -40.0, 55.0)]
PartTemperature = Annotated[float, Measured("temperature", 40.0, 1000.0, "115 degC")]
Angle = Annotated[float, Measured("angle", 0.001, 1.6)]
Share = Annotated[float, Measured("share", 0.01, 1.0)]
ShaftSpeed = Annotated[float, Measured("shaft_speed", 100.0, 12_000.0)]
EngineVolume = Annotated[float, Measured("volume", 2e-4, 2e-2, "3.6 L")]
TankVolume = Annotated[float, Measured("volume", 5e-3, 0.5, "80 L")]
SpringRate = Annotated[float, Measured("spring_rate", 1e3, 1e6)]
Conductance = Annotated[float, Measured("conductance", 50.0, 20e3)]
HeatCapacity = Annotated[float, Measured("heat_capacity", 1e3, 1e6)]
Stress = Annotated[float, Measured("stress", 1e7, 3e9)]
SmallSize = Annotated[float, Measured("size", 0.0005, 0.5, "12 mm")]
GradeChange = Annotated[float, Measured("grade", 0.005, 0.6, "15 %")]
WideLength = Annotated[float, Measured("length", 4.0, 200.0, "12 m")]
Voltage = Annotated[float, Measured("voltage", 0.0, 32.0)]
Current = Annotated[float, Measured("current", 0.0, 1_500.0)]
Charge = Annotated[float, Measured("charge", 10.0, 400.0)]
Hours = Annotated[float, Measured("hours", 0.1, 240.0, "8 h")]
Distance = Annotated[float, Measured("distance", 100.0, 2e7, "300 km")]
Acceleration = Annotated[float, Measured("acceleration", 0.5, 12.0)]
OffTrack = Annotated[float, Measured("size", 0.0, 0.6, "1 in")]  # 0: it runs in the tow vehicle's path
Give = Annotated[float, Measured("size", 0.0, 0.05, "2 mm")]  # chain anchors; 0: stiff
Resistance = Annotated[float, Measured("resistance", 0.0, 20.0, "0.05 ohm")]
SmallConductance = Annotated[float, Measured("conductance", 0.5, 50.0, "4 W/K")]
Toe = Annotated[float, Measured("angle", -0.06, 0.06, "0.2 deg")]
Castor = Annotated[float, Measured("angle", -0.1, 0.3, "4 deg")]
SmallTorque = Annotated[float, Measured("torque", 0.5, 300.0, "30 N m")]
