"""The rig file: both vehicles, the bar between them, chains, loads and the day's conditions, read from
TOML.
"""

import re
import stat
import tomllib
import unicodedata
from pathlib import Path
from typing import Annotated, Any, Literal, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    PrivateAttr,
    ValidationError,
    model_validator,
)

from towlib.errors import InputError, file_words, quote
from towlib.rig.measured import (
    Acceleration,
    AirTemperature,
    Angle,
    Area,
    BareNumber,
    Castor,
    Charge,
    Conductance,
    Current,
    Distance,
    EngineVolume,
    Force,
    Give,
    GradeChange,
    HeatCapacity,
    Hours,
    Length,
    Mass,
    OffTrack,
    PartTemperature,
    Position,
    Power,
    Pressure,
    Resistance,
    ShaftSpeed,
    Share,
    SignedSize,
    Size,
    SmallConductance,
    SmallMass,
    SmallSize,
    SmallTorque,
    Speed,
    SpringRate,
    Stress,
    TankVolume,
    Toe,
    Torque,
    Voltage,
    WholeNumber,
    WideLength,
    asked,
    rule_of,
)
from towlib.units import KINDS, plus_minus_si, share_of_value, split_plus_minus

BoltSize = Literal[
    "1/4-20",
    "5/16-18",
    "3/8-16",
    "7/16-14",
    "1/2-13",
    "5/8-11",
    "3/4-10",
    "M8",
    "M10",
    "M12",
    "M14",
    "M16",
    "M18",
    "M20",
]
WireSize = Literal[
    "20 AWG",
    "18 AWG",
    "16 AWG",
    "14 AWG",
    "12 AWG",
    "10 AWG",
    "0.75 mm2",
    "1.0 mm2",
    "1.5 mm2",
    "2.5 mm2",
    "4.0 mm2",
]  # those of data/handbook/wire.csv
WIRE_SIZES: tuple[str, ...] = get_args(WireSize)
BrakeFluid = Literal[
    "DOT 3 dry",
    "DOT 3 wet",
    "DOT 4 dry",
    "DOT 4 wet",
    "DOT 5.1 dry",
    "DOT 5.1 wet",
]  # those of data/handbook/materials.csv
BRAKE_FLUIDS: tuple[str, ...] = get_args(BrakeFluid)
LINES = 'lines such as: wheelbase = "3.3 m"'
CONFIRMED = "confirmed"  # table of a rig file: unusual values that are right as they stand
MAX_RIG_BYTES = 120_000  # six times a rig with every field and remark
MOST_NAMED = 13  # names in a sentence
MOST_NAMED_LETTERS = 160  # all those names together, so that a sentence stays below 400
MOST_DOTS = 100  # in one line
MOST_NESTED = 24  # tables in tables; a rig needs four
DOOR, PLATE, MANUAL, SCALE, TAPE = (
    "sticker on the driver's door frame",
    "plate or stamp on the part",
    "maker's manual",
    "weighbridge",
    "tape, on level ground",
)


def _on_one_line(value: str) -> str:
    """A name goes to screens, terminals and paper: no line ends, control characters or marks that turn the
    writing round.
    """
    odd = [
        char
        for char in value
        if unicodedata.category(char) in ("Cc", "Cs", "Zl", "Zp") or unicodedata.bidirectional(char) in _TURNS
    ]
    if odd:
        raise InputError(
            f"{quote(value)} with the character U+{ord(odd[0]):04X}",
            "a name on one line, in letters, digits and marks",
        )
    return value


_TURNS = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


Ratio = Annotated[float, BareNumber("a ratio", 0.05, 30.0, 3.73)]
Words = Annotated[str, AfterValidator(_on_one_line)]
Coefficient = Annotated[float, BareNumber("a number", 0.002, 0.4, 0.013)]


class Part(BaseModel):
    """A part of the rig: unknown names are refused, so that a misspelt field is never silently ignored."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Tyres(Part):
    load_index: Annotated[int, WholeNumber(50, 150, 112)] | None = asked(
        "load index of each tyre", where="tyre sidewall, the number after the size", settles="tyre load"
    )
    kind: Literal["LT", "P", "car"] | None = asked(
        "kind of tyre: LT where the size says so; else P on a truck, van or off-roader, and car on a"
        " passenger car",
        where="tyre sidewall, before or after the size",
        settles="tyre load",
        label="tyres, kind",
    )
    pressure: Pressure | None = asked("pressure when cold", where="gauge", settles="tyre load")
    full_load_pressure: Pressure | None = asked(
        "pressure at which the full load index holds",
        where="tyre sidewall or tyre maker",
        settles="tyre load",
    )
    rolling_radius: Size | None = asked(
        "distance from hub centre to the ground, loaded",
        where=TAPE,
        settles="gears and engine speed",
        label="tyre, hub to ground",
    )
    width: SmallSize | None = asked(
        "width of a tyre",
        example="245 mm",
        where="tyre sidewall, the first number of the size, in mm",
        label="tyre width",
    )


class CurvePoint(Part):
    speed: ShaftSpeed = asked("engine speed", required=True)
    torque: Torque = asked("torque at full throttle at that speed", required=True)


class Engine(Part):
    aspiration: Literal["natural", "boosted"] | None = asked(
        "natural (no turbocharger or supercharger) or boosted",
        where=MANUAL,
        settles="power at altitude",
        label="Engine, natural or boosted",
    )
    displacement: EngineVolume | None = asked("swept volume", where=MANUAL, settles="engine braking")
    idle: ShaftSpeed | None = asked("idle speed", example="700 rpm", where="rev counter")
    redline: ShaftSpeed | None = asked(
        "highest engine speed allowed",
        example="6000 rpm",
        where="rev counter or " + MANUAL,
        settles="engine speed on the way down",
    )
    peak_torque: Torque | None = asked("largest torque", where=MANUAL, settles="climb")
    peak_torque_at: ShaftSpeed | None = asked(
        "engine speed of the largest torque", example="4000 rpm", where=MANUAL, settles="climb"
    )
    peak_power: Power | None = asked("largest power", where=MANUAL, settles="climb")
    peak_power_at: ShaftSpeed | None = asked(
        "engine speed of the largest power", example="5600 rpm", where=MANUAL, settles="climb"
    )
    braking_factor: Ratio | None = asked(
        "engine braking over that of the textbook fit, a bare number",
        where="overrun test: the speed it settles at in a gear on a known grade",
        settles="brake temperature",
        example="1.0",
        label="Engine braking over textbook",
    )
    curve: Annotated[tuple[CurvePoint, ...], Field(min_length=2)] | None = asked(
        "measured full-throttle curve, instead of the peaks", where="dynamometer sheet", settles="climb"
    )


class Gearbox(Part):
    kind: Literal["manual", "automatic"] | None = asked(
        "manual or automatic", where=MANUAL, settles="pulling away", label="Gearbox"
    )
    ratios: Annotated[tuple[Ratio, ...], Field(min_length=1, max_length=16)] | None = asked(
        "gear ratios, first gear first", where=MANUAL, settles="climb and engine braking"
    )
    final_drive: Ratio | None = asked(
        "final drive ratio", where="axle tag or " + MANUAL, settles="climb and engine braking"
    )
    efficiency: Share | None = asked("share of engine power that reaches the wheels", example="85 %")
    stall_torque_ratio: Ratio | None = asked(
        "torque ratio of the converter at standstill (automatic)", example="1.8", where=MANUAL
    )
    clutch_speed: ShaftSpeed | None = asked(
        "engine speed while the clutch slips when pulling away (manual)",
        example="1500 rpm",
        where="rev counter",
        label="Engine speed while clutch slips",
    )


class Cooling(Part):
    conductance: Conductance | None = asked(
        "heat the radiator gives away per kelvin at 90 km/h",
        where="radiator maker, or from a climb on which the gauge stood still",
        settles="coolant temperature",
    )
    thermostat: PartTemperature | None = asked(
        "temperature the thermostat keeps", example="90 degC", where=MANUAL
    )
    heat_capacity: HeatCapacity | None = asked("heat that warms engine and coolant by one kelvin")
    heat_share: Share | None = asked("share of the fuel's energy that goes into the coolant", example="28 %")
    highest_coolant: PartTemperature | None = asked(
        "highest coolant temperature allowed", where=MANUAL, settles="coolant temperature"
    )


class Brakes(Part):
    front_heated_mass: SmallMass | None = asked(
        "mass of both front discs or drums",
        where="parts catalogue, or a scale at the next brake job",
        settles="brake temperature",
    )
    rear_heated_mass: SmallMass | None = asked(
        "mass of both rear discs or drums",
        where="parts catalogue, or a scale at the next brake job",
        settles="brake temperature",
    )
    front_cooled_area: Area | None = asked(
        "all faces of the front discs or drums that the air reaches, both wheels"
    )
    rear_cooled_area: Area | None = asked(
        "all faces of the rear discs or drums that the air reaches, both wheels"
    )
    exposure: Share | None = asked("share of a free plate's air cooling left inside a wheel", example="60 %")
    front_share: Share | None = asked("share of the braking done by the front axle")
    highest_front: PartTemperature | None = asked(
        "temperature at which the front lining maker gives fade", example="350 degC", where="lining maker"
    )
    highest_rear: PartTemperature | None = asked(
        "temperature at which the rear lining maker gives fade", example="350 degC", where="lining maker"
    )
    deceleration_alone: Acceleration | None = asked(
        "deceleration of the tow vehicle alone, fully braked, level, dry",
        where="road test",
        settles="stopping distance",
        label="Tow vehicle alone, deceleration",
    )
    front_rubbed_area: Area | None = asked(
        "rings of the front discs that the pads rub, all faces, both wheels",
        example="0.2 m2",
        where=TAPE,
        label="Rubbed area, front discs",
    )
    front_face_depth: SmallSize | None = asked(
        "iron behind one rubbed face of a front disc",
        example="9 mm",
        where="caliper: one wall of a vented disc, half of a solid one",
        label="Iron behind a front disc face",
    )
    caliper_conductance: SmallConductance | None = asked(
        "heat that passes from both front discs to their calipers per kelvin",
        example="4 W/K",
        label="Heat from discs to calipers",
    )
    fluid: BrakeFluid | None = asked(
        "brake fluid; dry when new, wet after two years or when its age is not known",
        where="lid of the reservoir, and the date of the last change",
        settles="brake fluid after a stop",
        label="Brake fluid",
    )


class TowVehicle(Part):
    name: Words = Field("", max_length=80, description="what you call it")
    front_axle_empty: Mass = asked(
        "front axle with full tank, no people, no cargo", where=SCALE, settles="all weights", required=True
    )
    rear_axle_empty: Mass = asked(
        "rear axle with full tank, no people, no cargo", where=SCALE, settles="all weights", required=True
    )
    wheelbase: Length = asked(
        "front hub to rear hub",
        where=TAPE,
        settles="axle loads",
        required=True,
        label="Tow vehicle, wheelbase",
    )
    ball_behind_rear_axle: Length | None = asked(
        "rear hub to centre of the ball",
        example="1.2 m",
        where=TAPE,
        settles="axle loads, hitch height",
        label="Ball behind the rear axle",
    )
    cg_height: Length | None = asked("height of the centre of gravity above the road", example="0.7 m")
    gvwr: Mass | None = asked("gross vehicle weight rating (GVWR)", where=DOOR, settles="tow vehicle total")
    front_gawr: Mass | None = asked("front gross axle weight rating (GAWR)", where=DOOR, settles="front axle")
    rear_gawr: Mass | None = asked("rear gross axle weight rating (GAWR)", where=DOOR, settles="rear axle")
    payload: Mass | None = asked(
        "most that people, cargo and ball load together may weigh", where=DOOR, settles="payload"
    )
    gcwr: Mass | None = asked(
        "gross combined weight rating (GCWR)", example="11000 lb", where=MANUAL, settles="combined weight"
    )
    tow_rating_unbraked: Mass | None = asked(
        "heaviest towed weight without its own brakes", where=MANUAL, settles="towed weight"
    )
    tow_rating_braked: Mass | None = asked(
        "heaviest towed weight with its own brakes working", where=MANUAL, settles="towed weight"
    )
    front_spring_rate: SpringRate | None = asked(
        "force that lowers the front axle's springs, both wheels together",
        where="load the bed and measure, see the measuring sheet",
        settles="ball height loaded",
    )
    rear_spring_rate: SpringRate | None = asked(
        "force that lowers the rear axle's springs, both wheels together",
        where="load the bed and measure, see the measuring sheet",
        settles="ball height loaded",
    )
    drag_area: Area | None = asked("drag coefficient times frontal area", settles="air resistance")
    rolling_resistance: Coefficient | None = asked("rolling resistance coefficient, a bare number")
    weighed: Literal["empty", "loaded"] | None = asked(
        "how it stood on the scale: empty (taken so when left out), or loaded for the trip, people"
        " and cargo inside",
        where=SCALE,
        settles="what people and cargo add",
    )
    driven_axles: Literal["front", "rear", "both"] | None = asked(
        "axles that drive on the road",
        where=MANUAL,
        settles="grip on the steepest pitch",
        label="Driven axles",
    )
    track: Length | None = asked(
        "middle of one front tyre to the middle of the other", example="1.65 m", where=TAPE
    )
    turning_circle: WideLength | None = asked(
        "turning circle between kerbs: diameter", example="12 m", where=MANUAL, settles="tightest turn"
    )
    rear_side_stiffness: Ratio | None = asked(
        "side stiffness of the rear tyres over the textbook figure, a bare number",
        example="1.0",
        label="Tow rear tyres, stiffness",
    )
    fuel_tank: TankVolume | None = asked("usable fuel", where=MANUAL, settles="fuel for the trip")
    body_width: Length | None = asked(
        "width of the body without mirrors",
        example="2 m",
        where=TAPE,
        settles="road needed in a turn",
        label="Tow vehicle, width",
    )
    body_height: Length | None = asked(
        "road to the roof", example="1.8 m", where=TAPE, label="Tow vehicle, height"
    )
    front_overhang: Length | None = asked(
        "front hub forward to the foremost part of the body",
        example="0.85 m",
        where=TAPE,
        settles="road needed in a turn",
        label="Tow vehicle, nose",
    )
    rear_overhang: Length | None = asked(
        "rear hub back to the bumper, without the hitch",
        example="1.1 m",
        where=TAPE,
        settles="road needed in a turn",
        label="Tow vehicle, tail",
    )
    front_tyres: Tyres = asked("front tyres", label="Tow front", default=Tyres())
    rear_tyres: Tyres = asked("rear tyres", label="Tow rear", default=Tyres())
    engine: Engine = Engine()
    gearbox: Gearbox = Gearbox()
    cooling: Cooling = Cooling()
    brakes: Brakes = Brakes()


class Driveline(Part):
    transfer_case: Literal["none", "part-time", "full-time", "independent outputs"] | None = asked(
        "kind of transfer case", where=MANUAL, settles="what turns while towed", label="Transfer case"
    )
    transfer_case_position: (
        Literal[
            "neutral", "neutral, outputs joined", "rear only", "front only", "both", "both, centre locked"
        ]
        | None
    ) = asked(
        "where the transfer case stands while towed; 'neutral, outputs joined' when front and rear shaft stay"
        " coupled to each other in neutral",
        where=MANUAL,
        settles="what turns while towed",
        label="Transfer case stands in",
    )
    low_range: bool | None = asked("true when low range is selected", where="look", label="Low range")
    gearbox: Literal["manual", "automatic"] | None = asked(
        "manual or automatic gearbox",
        where="look",
        settles="what turns while towed",
        label="Towed vehicle's gearbox",
    )
    gearbox_position: Literal["in gear", "neutral", "park"] | None = asked(
        "where the gearbox stands while towed",
        where=MANUAL,
        settles="what turns while towed",
        label="Gearbox stands in",
    )
    front_hubs: Literal["fixed", "locked", "free", "one side open"] | None = asked(
        "front hubs: fixed, locked or free by hand, or one half shaft disconnected by itself",
        where="look",
        settles="what turns while towed",
        label="Front hubs",
    )
    front_shaft_in: bool | None = asked(
        "true while the front shaft is in place",
        where="look",
        settles="what turns while towed",
        label="Front shaft in place",
    )
    rear_shaft_in: bool | None = asked(
        "true while the rear shaft is in place",
        where="look",
        settles="what turns while towed",
        label="Rear shaft in place",
    )
    front_locked: bool | None = asked(
        "true when the front differential is locked", where="look", label="Front differential locked"
    )
    rear_locked: bool | None = asked(
        "true when the rear differential is locked", where="look", label="Rear differential locked"
    )
    lifted_axle: Literal["none", "front", "rear"] | None = asked(
        "axle that stands on a dolly", where="look", label="Axle on a dolly"
    )
    driven_axle: Literal["front", "rear"] | None = asked(
        "the driven axle when there is no transfer case", where=MANUAL, settles="what turns while towed"
    )
    front_final_drive: Ratio | None = asked(
        "front final drive ratio", example="4.1", where="axle tag or " + MANUAL
    )
    rear_final_drive: Ratio | None = asked(
        "rear final drive ratio", example="4.1", where="axle tag or " + MANUAL, label="Rear final drive ratio"
    )
    four_wheel_towing_allowed: bool | None = asked(
        "true when its maker's manual allows towing on four wheels with these positions",
        where=MANUAL,
        settles="maker's word on towing",
    )
    oil_confirmed: bool | None = asked(
        "true when the maker's manual says that what turns in these positions is oiled",
        where=MANUAL,
        settles="oil of turning parts",
    )
    speed_limited: bool | None = asked(
        "false when the manual names no highest towing speed", where=MANUAL, settles="towing speed"
    )
    highest_towing_speed: Speed | None = asked(
        "highest towing speed the manual allows", where=MANUAL, settles="towing speed"
    )
    distance_limited: bool | None = asked(
        "false when the manual names no longest towing distance", where=MANUAL, settles="towing distance"
    )
    longest_towing_distance: Distance | None = asked(
        "longest distance the manual allows without a stop to run the engine",
        where=MANUAL,
        settles="towing distance",
    )
    steering_is_free: bool | None = asked(
        "true when the steering wheel turns by itself with the key as it stays while towed",
        where="try it",
        settles="free steering",
    )
    low_ratio: Ratio | None = asked(
        "ratio of the low range", example="2.7", where=MANUAL, label="Low range ratio"
    )
    gear_ratio: Ratio | None = asked(
        "ratio of the gear a manual gearbox is left in",
        example="1.0",
        where=MANUAL,
        settles="what turns while towed",
        label="Ratio of the gear it is left in",
    )


class TowedVehicle(Part):
    name: Words = Field("", max_length=80, description="what you call it")
    front_axle_empty: Mass = asked(
        "front axle as it stands, fluids in, no cargo",
        where=SCALE,
        settles="towed weight",
        required=True,
        label="Towed front axle, empty",
    )
    rear_axle_empty: Mass = asked(
        "rear axle as it stands, fluids in, no cargo", where=SCALE, settles="towed weight", required=True
    )
    weighed: Literal["empty", "loaded"] | None = asked(
        "how it stood on the scale: empty (taken so when left out), or with its cargo for the trip",
        where=SCALE,
        settles="what its cargo adds",
    )
    wheelbase: Length = asked(
        "front hub to rear hub",
        where=TAPE,
        settles="axle loads",
        required=True,
        label="Towed vehicle, wheelbase",
    )
    gvwr: Mass | None = asked(
        "gross vehicle weight rating (GVWR)", where=PLATE, settles="towed vehicle total"
    )
    front_gawr: Mass | None = asked(
        "front gross axle weight rating (GAWR)", where=PLATE, settles="towed front axle"
    )
    rear_gawr: Mass | None = asked(
        "rear gross axle weight rating (GAWR)", where=PLATE, settles="towed rear axle"
    )
    bracket_height: Size | None = asked(
        "road to the centre of the bar's bracket pins",
        where=TAPE,
        settles="bar slope",
        label="Bracket pins above the road",
    )
    bracket_spread: Size | None = asked(
        "distance between the two brackets, pin centre to pin centre",
        where=TAPE,
        settles="bar spread",
        label="Brackets apart, pin to pin",
    )
    bracket_ahead_of_front_axle: Size | None = asked(
        "front hub forward to the bracket pins", where=TAPE, settles="towed axle loads"
    )
    drag_area: Area | None = asked(
        "what it adds to the drag area, in the wake of the tow vehicle",
        settles="air resistance",
        label="Drag area the towed one adds",
    )
    rolling_resistance: Coefficient | None = asked("rolling resistance coefficient, a bare number")
    track: Length | None = asked(
        "middle of one front tyre to the middle of the other", example="1.45 m", where=TAPE
    )
    steering_lock: Angle | None = asked(
        "how far the inner front wheel turns",
        example="33 deg",
        where="chalk line along the wheel, straight and at full lock",
        settles="towed steering in the tightest turn",
        label="Lock of the towed inner wheel",
    )
    rear_side_stiffness: Ratio | None = asked(
        "side stiffness of the rear tyres over the textbook figure, a bare number",
        example="1.0",
        label="Towed rear tyres, stiffness",
    )
    brakes_fitted: bool | None = asked(
        "true when its own brakes work while it is towed",
        settles="which tow rating applies",
        label="Its own brakes work",
    )
    brake_heated_mass: SmallMass | None = asked(
        "mass of all its discs and drums, when its brakes work", settles="its brake temperature"
    )
    brake_cooled_area: Area | None = asked("all faces of those discs and drums that the air reaches")
    highest_brake: PartTemperature | None = asked(
        "temperature at which its lining maker gives fade", where="lining maker"
    )
    brake_share: Share | None = asked(
        "share of the pair's braking that its own brakes do", where="maker of the braking device"
    )
    body_width: Length | None = asked(
        "width of the body without mirrors",
        example="1.65 m",
        where=TAPE,
        settles="road needed in a turn",
        label="Towed vehicle, width",
    )
    body_height: Length | None = asked(
        "road to the roof", example="1.7 m", where=TAPE, label="Towed vehicle, height"
    )
    front_overhang: Length | None = asked(
        "front hub forward to the foremost part of the body",
        example="0.42 m",
        where=TAPE,
        settles="road needed in a turn",
        label="Towed vehicle, nose",
    )
    rear_overhang: Length | None = asked(
        "rear hub back to the bumper, without the hitch",
        example="0.5 m",
        where=TAPE,
        settles="road needed in a turn",
        label="Towed vehicle, tail",
    )
    front_side_stiffness: Ratio | None = asked(
        "side stiffness of the front tyres over the textbook figure, a bare number",
        example="1.0",
        label="Towed front tyres, stiffness",
    )
    tyre_trail: SmallSize | None = asked(
        "how far behind the middle of its contact a front tyre's side force acts",
        example="25 mm",
        label="Tyre trail",
    )
    toe: Toe | None = asked(
        "toe of each front wheel, in (+) or out (-)",
        example="0.2 deg",
        where="alignment sheet, or tape across both front tyres ahead and behind",
        label="Toe of each front wheel, in: +",
    )
    castor: Castor | None = asked(
        "castor of the front wheels, top leaning back (+)",
        example="4 deg",
        where="alignment sheet",
        label="Castor",
    )
    steering_friction: SmallTorque | None = asked(
        "torque at the steering axes of both front wheels until they turn, front lifted",
        example="30 N m",
        where="spring scale at the tyre, front wheels off the ground",
        label="Steering friction, both wheels",
    )
    tyres: Tyres = asked("tyres", label="Towed", default=Tyres())
    driveline: Driveline = Driveline()


class Hitch(Part):
    receiver_height: Size | None = asked(
        "road to the middle of the receiver, tow vehicle empty",
        where=TAPE,
        settles="bar slope",
        label="Receiver above the road, empty",
    )
    receiver_rating: Mass | None = asked("receiver: heaviest towed weight", where=PLATE, settles="receiver")
    receiver_vertical_rating: Mass | None = asked(
        "receiver: heaviest vertical load", example="350 lb", where=PLATE, settles="vertical load"
    )
    ball_mount_change: SignedSize | None = asked(
        "ball centre above (+) or below (-) the middle of the receiver",
        where=TAPE,
        settles="bar slope",
        label="Ball mount: rise (+), drop (-)",
    )
    ball_mount_rating: Mass | None = asked(
        "ball mount: heaviest towed weight", where=PLATE, settles="ball mount"
    )
    lowest_point_height: Size | None = asked(
        "road to the lowest point of receiver, ball mount or ball nut, tow vehicle empty",
        where=TAPE,
        settles="clearance over a ramp",
        label="Lowest point of the hitch",
    )
    ball_diameter: SmallSize | None = asked(
        "diameter of the ball", example="2 in", where=PLATE, settles="height of the prop for coupling alone"
    )
    ball_rating: Mass | None = asked("ball: heaviest towed weight", where=PLATE, settles="ball")
    d_value_stamped: bool | None = asked(
        "false when the coupling carries no D-value, as in countries that rate by mass",
        where=PLATE,
        settles="D-value",
    )
    d_value_rating: Force | None = asked("D-value of the coupling", where=PLATE, settles="D-value")
    strength_along: Force | None = asked(
        "weakest of receiver, ball mount and ball: force along that it holds, pull and push; not a weight",
        example="10500 lbf",
        where="maker, or coupling class",
        settles="fastenings to the tow frame",
    )


class TowBar(Part):
    length: Length | None = asked(
        "centre of the coupler to the middle between the bracket pins, not along one leg",
        example="1.5 m",
        where=TAPE,
        settles="bar slope",
        label="Bar, ball to bracket pins",
    )
    mass: SmallMass | None = asked("mass of the bar", example="26 kg", where="scale", settles="vertical load")
    rule: Literal["federal tow-bar rule", "trailer rule", "none asked"] | None = asked(
        "rule that bar, fastenings and chains are held to: only the federal one was written for a vehicle on"
        " its own wheels",
        where="your law",
        settles="strength of the tow bar",
        label="Rule asked of bar and chains",
    )
    strength_along: Force | None = asked(
        "force along the bar that it holds, pull and push, with its joints and pins; not a weight",
        example="6500 lbf",
        where="bar maker",
        settles="strength of the tow bar",
    )
    rating: Mass | None = asked("heaviest towed weight", where=PLATE, settles="tow bar")
    bracket_rating: Mass | None = asked("brackets: heaviest towed weight", where=PLATE, settles="brackets")
    narrowest_spread: Size | None = asked(
        "narrowest bracket spread the maker allows",
        example="24 in",
        where="bar maker's instructions",
        settles="bar spread",
    )
    widest_spread: Size | None = asked(
        "widest bracket spread the maker allows",
        example="41 in",
        where="bar maker's instructions",
        settles="bar spread",
    )
    greatest_slope: Angle | None = asked(
        "steepest slope the maker allows, standing level and loaded",
        example="5 deg",
        where="bar maker's instructions",
        settles="bar slope",
    )

    greatest_pitch: Angle | None = asked(
        "steepest the coupler may tilt up or down on the ball before it binds",
        example="15 deg",
        where="bar maker's instructions",
        settles="tilt over a crest or dip",
    )
    greatest_swing: Angle | None = asked(
        "furthest the coupler may swing sideways on the ball before bar or coupler touches",
        example="70 deg",
        where="bar maker's instructions, or try it slowly with a helper watching",
        settles="angle in the tightest turn",
    )
    depth: SmallSize | None = asked(
        "height of the bar's section", example="65 mm", where=TAPE, label="Height of the bar's section"
    )
    coupler_size: SmallSize | None = asked(
        "diameter of the ball the coupler is made for",
        example="2 in",
        where="stamp on the coupler",
        settles="coupler and ball of one size",
        label="Coupler, made for a ball of",
    )
    latch_closed: bool | None = asked(
        "true when the coupler's latch is closed over the ball with its pin or clip in, and a pull up by hand"
        " does not lift it",
        where="look, and pull it up by hand",
        settles="latch of the coupler",
        label="Latch closed, its pin or clip in",
    )
    pins_clipped: bool | None = asked(
        "true when every pin of bar and brackets is in, each with its clip",
        where="look",
        settles="pins of the bar",
        label="Pins of the bar in and clipped",
    )
    adjustable: bool | None = asked(
        "true when the bar's length can be adjusted, as that of a folding or sliding bar",
        where="look",
        settles="sag of the tow bar",
    )
    sag: Give | None = asked(
        "how far the bar's middle goes down with 50 lb (23 kg) hung there, both ends held, play included",
        example="2 mm",
        where="straight edge and tape",
        settles="sag of the tow bar",
    )
    off_track: OffTrack | None = asked(
        "how far beside the tow vehicle's middle the towed vehicle runs on a straight level road",
        example="10 mm",
        where="wet tracks on a straight road",
        settles="tracking",
    )
    pulls_on_bumpers: bool | None = asked(
        "true when the bar pulls on a bumper, not on the frame, of either vehicle",
        where="look",
        settles="bumper bar",
    )


class BracketBolt(Part):
    behind_pin: SignedSize = asked(
        "behind (+) or ahead (-) of the bar's pin", example="60 mm", where=TAPE, required=True
    )
    above_pin: SignedSize = asked(
        "above (+) or below (-) the bar's pin", example="-20 mm", where=TAPE, required=True
    )
    outboard_of_pin: SignedSize = asked(
        "further out (+) or further in (-) than the bar's pin", example="30 mm", where=TAPE, required=True
    )


class Bracket(Part):
    bolt_size: BoltSize | None = asked(
        "thread of the bolts that hold one bracket",
        example="1/2-13",
        where="thread gauge or the nut's packet",
        settles="bracket bolts",
        label="Bracket bolts, thread",
    )
    bolt_grade: Literal["2", "5", "8", "8.8", "10.9"] | None = asked(
        "grade or class marked on the bolt heads: three lines is 5, six lines is 8",
        where="bolt head",
        settles="bracket bolts",
        label="Grade marked on the heads",
    )
    bolt_length: SmallSize | None = asked(
        "length of a bolt under its head; grade 2 longer than 6 in counts as grade 1",
        example="2 in",
        where=TAPE,
        settles="bracket bolts of grade 2",
        label="Bolt length under the head",
    )
    bolts_run: Literal["fore and aft", "across"] | None = asked(
        "which way the bolts point", where="look", settles="bracket bolts", label="Bolts run"
    )
    threads_in_plane: bool | None = asked(
        "true when the thread, not the smooth shank, lies where the plates meet",
        where="look",
        settles="bracket bolts",
        label="Thread in the plane that is cut",
    )
    bolts: Annotated[tuple[BracketBolt, ...], Field(min_length=1, max_length=40)] | None = asked(
        "where each bolt of one bracket sits, seen from the bar's pin",
        example='{behind_pin = "60 mm", above_pin = "-20 mm", outboard_of_pin = "30 mm"}',
        where=TAPE,
        settles="bracket bolts",
    )
    torque: Torque | None = asked(
        "torque the bracket's maker asks for its bolts",
        example="75 lbf ft",
        where="bracket maker's instructions",
        settles="bolt tension",
        label="Torque at the wrench",
    )
    nut_factor: Ratio | None = asked(
        "torque over diameter times tension, a bare number: dry steel about 0.2, oiled less",
        example="0.2",
        label="Nut factor K",
    )
    plate_thickness: SmallSize | None = asked(
        "thickness of the bracket's plate at the bolts",
        example="8 mm",
        where="caliper",
        settles="bracket plate",
        label="Plate thickness",
    )
    plate_yield: Stress | None = asked(
        "yield strength of the plate's steel",
        example="250 MPa",
        where="steel supplier",
        settles="bracket plate",
    )
    hole_diameter: SmallSize | None = asked(
        "diameter of the bolt holes", example="14 mm", where="caliper", settles="bracket plate"
    )
    edge_distance: SmallSize | None = asked(
        "middle of the outermost bolt hole to the plate's nearest edge",
        example="25 mm",
        where=TAPE,
        settles="bracket plate",
        label="Bolt hole to the plate's edge",
    )
    plate_width: SmallSize | None = asked(
        "width of the plate across the row of bolt holes",
        example="90 mm",
        where=TAPE,
        settles="bracket plate",
    )
    plate_free_width: SmallSize | None = asked(
        "free width of the plate where the lugs stand, between its supports on either side: from bolts to"
        " bolts where nothing else holds it",
        example="60 mm",
        where=TAPE,
        settles="bracket bolts, and plate in bending",
        label="Plate free between its supports",
    )
    lug_thickness: SmallSize | None = asked(
        "thickness of one lug that holds the bar's pin",
        example="12 mm",
        where="caliper",
        settles="bracket pin and lugs",
        label="Lug thickness",
    )
    lug_width: SmallSize | None = asked(
        "width of a lug at its root, along the plate",
        example="60 mm",
        where=TAPE,
        settles="bracket plate and lugs in bending",
        label="Lug width at its root",
    )
    eye_thickness: SmallSize | None = asked(
        "thickness of the bar's eye on the pin",
        example="20 mm",
        where="caliper",
        settles="bracket pin",
        label="Thickness of the bar's eye",
    )
    eye_gap: Give | None = asked(
        "gap between the bar's eye and a lug, half of all the play along the pin; 0 when there is none",
        example="1 mm",
        where="feeler gauge or caliper",
        settles="bracket pin",
        label="Gap between eye and lug",
    )
    lugs_welded: bool | None = asked(
        "true when the lugs are welded to the plate, false when lugs and plate are one piece",
        where="look",
        settles="bracket weld",
        label="Lugs are welded on",
    )
    weld_leg: SmallSize | None = asked(
        "leg of the weld along a lug: from the corner to where it ends on the plate",
        example="6 mm",
        where="weld gauge or caliper",
        settles="bracket weld",
        label="Leg of the lugs' welds",
    )
    weld_length: SmallSize | None = asked(
        "length of the weld along one side of a lug; both sides are taken as welded",
        example="60 mm",
        where=TAPE,
        settles="bracket weld",
        label="Weld along one side of a lug",
    )
    pin_diameter: SmallSize | None = asked(
        "diameter of the bar's pin in one bracket",
        example="16 mm",
        where="caliper",
        settles="bracket pin",
        label="Pin diameter",
    )
    pin_yield: Stress | None = asked(
        "yield strength of the pin's steel", example="350 MPa", where="pin maker", settles="bracket pin"
    )
    pin_is_held_both_sides: bool | None = asked(
        "true when the pin passes through two lugs, one on either side of the bar's eye",
        where="look",
        settles="bracket pin",
    )
    factor_asked: Ratio | None = asked(
        "how many times the heaviest load of the road each part should hold before it yields, a bare number",
        example="1.5",
    )
    plate_friction: Share | None = asked(
        "friction between the bracket's plate and the frame",
        example="20 %",
        label="Friction between the plates",
    )
    joint_faces: Annotated[int, WholeNumber(1, 4, 1)] | None = asked(
        "pairs of faces that would slide: 1 with a plate on one side of the frame, 2 with one on either side",
        example="1",
        where="look",
        settles="slip of the bracket's joint",
        label="Pairs of faces that would slide",
    )
    alternating_load: Share | None = asked(
        "push and pull that come again and again, as a share of the towed weight, for cracks",
        example="35 %",
        label="Alternating load over the weight",
    )


class SafetyChains(Part):
    grade: Literal["30", "43", "70", "80", "unmarked"] | None = asked(
        "grade embossed on the links; an unmarked chain counts as 30",
        where=PLATE,
        settles="chain strength",
        label="Chain, grade on the links",
    )
    size: Literal["1/4", "5/16", "3/8", "7/16", "1/2", "5/8"] | None = asked(
        "trade size in inches",
        where="caliper on the link's wire",
        settles="chain strength",
        label="Chain, trade size [in]",
    )
    rule_strength: Literal["working", "breaking", "tow-bar"] | None = asked(
        "what your law compares with the towed weight: working load or breaking load; or tow-bar: the US rule"
        " for motor vehicles towed by a tow-bar, 49 CFR 393.71(h), which binds motor carriers",
        where="your law",
        settles="chain strength",
        label="Your law compares the load",
    )
    rule_count: Literal["each", "both"] | None = asked(
        "each chain alone, or both together",
        where="your law",
        settles="chain strength",
        label="Your law counts",
    )
    crossed: bool | None = asked(
        "crossed under the bar", where="look", settles="chain length", label="Chains crossed"
    )
    links: Annotated[int, WholeNumber(3, 200, 34)] | None = asked(
        "links of each chain between its two anchors",
        where="count them",
        settles="chain length",
        label="Links of each chain",
    )
    link_pitch: Size | None = asked(
        "inside length of one link",
        example="31 mm",
        where="caliper",
        settles="chain length",
        label="Inside length of a link",
    )
    hook_rating: Mass | None = asked(
        "weakest hook or quick link: working load",
        where=PLATE,
        settles="chain hooks",
        label="Weakest hook or quick link",
    )
    hook_breaking: Mass | None = asked(
        "weakest hook or quick link: breaking load, where its maker gives one",
        where="maker of the hook",
        settles="chain hooks, where your law compares breaking loads",
        label="Weakest hook, breaking load",
    )
    anchor_rating: Mass | None = asked(
        "weakest anchor point: working load", where=PLATE, settles="chain anchors", label="Weakest anchor"
    )
    anchor_breaking: Mass | None = asked(
        "weakest anchor point: breaking load, where its maker gives one",
        where="maker of the receiver",
        settles="chain anchors, where your law compares breaking loads",
        label="Weakest anchor, breaking load",
    )
    receiver_anchor_spread: Size | None = asked(
        "distance between the two anchors on the receiver",
        where=TAPE,
        settles="chain length",
        label="Between anchors on the receiver",
    )
    receiver_anchor_behind_ball: SignedSize | None = asked(
        "receiver anchors behind (+) or ahead (-) of the ball centre",
        where=TAPE,
        settles="chain length",
        label="Receiver anchors behind the ball",
    )
    receiver_anchor_height: Size | None = asked(
        "road to the receiver anchors",
        where=TAPE,
        settles="chain length",
        label="Receiver anchors above the road",
    )
    bar_anchor_spread: Size | None = asked(
        "distance between the two anchors on the bar",
        where=TAPE,
        settles="chain length",
        label="Between anchors on the bar",
    )
    bar_anchor_behind_ball: Size | None = asked(
        "ball centre back to the anchors on the bar",
        where=TAPE,
        settles="chain length",
        label="Bar anchors behind the ball",
    )
    bar_anchor_height: Size | None = asked(
        "road to the anchors on the bar",
        where=TAPE,
        settles="chain length",
        label="Bar anchors above the road",
    )
    heights_measured: Literal["empty", "loaded"] | None = asked(
        "how the tow vehicle stood when the anchors' heights were measured, bar on the ball: empty, or loaded"
        " as on the way out",
        where="look at your notes, or measure again",
        settles="chain clear of the road, and the fall of the bar",
        label="Anchor heights, measured",
    )
    to_both_vehicles: bool | None = asked(
        "true when the chains reach from the frame of one vehicle to that of the other, not only to the bar",
        where="look",
        settles="what the tow-bar rule asks",
        label="Chains reach both vehicles",
    )
    tied_to_bar: bool | None = asked(
        "true when the chains are tied to the bar where they cross, or as near as can be",
        where="look",
        settles="what the tow-bar rule asks",
        label="Chains tied where they cross",
    )
    second_pair_fitted: bool | None = asked(
        "true when a second pair of chains holds the bar to the towed vehicle's frame or axle",
        where="look",
        settles="second pair of chains",
    )
    second_pair_rating: Mass | None = asked(
        "second pair: working load of its weakest part", where=PLATE, settles="second pair of chains"
    )
    second_pair_breaking: Mass | None = asked(
        "second pair: breaking load of its weakest part, where its maker gives one",
        where="maker of the chain, its hooks and its anchors",
        settles="second pair of chains, where your law compares breaking loads",
        label="Second pair, breaking load",
    )
    greatest_articulation: Angle | None = asked(
        "sharpest angle between the vehicles you will turn to",
        example="60 deg",
        settles="chain length",
        label="Sharpest angle you will turn to",
    )
    ground_clearance: Size | None = asked(
        "clearance wanted between chain and road", example="100 mm", settles="chain length"
    )
    stretch: Share | None = asked(
        "stretch of a chain at its working load, share of its length",
        example="2 %",
        where="chain maker",
        label="Chain stretch at working load",
    )
    anchor_give: Give | None = asked(
        "give of both anchors of a chain at its working load",
        example="2 mm",
        where="hook, anchor and frame maker, or a pull with a gauge",
        label="Give of both chain anchors",
    )


class Lights(Part):
    seen_working: bool | None = asked(
        "true when tail, brake and both turn lamps were seen working on the towed vehicle",
        where="look, or in a window's reflection",
        settles="rear lamps",
    )
    plug_volts: Voltage | None = asked(
        "volts at the tow vehicle's lamp socket, brake lamps on",
        where="meter",
        label="Volts at the tow vehicle",
    )
    lamp_volts: Voltage | None = asked("volts at the towed vehicle's brake lamp, lit", where="meter")
    ground_drop: Voltage | None = asked(
        "volts between the lamp's shell and clean metal of the tow vehicle, all lamps on",
        example="0.2 V",
        where="meter",
    )
    stop_current: Current | None = asked(
        "current of the brake lamps of the towed vehicle",
        example="4.2 A",
        where="meter in the wire, or the marks on the lamps",
        settles="what the lamp socket can give",
    )
    turn_current: Current | None = asked(
        "current of one turn lamp of the towed vehicle",
        example="2.1 A",
        where="meter in the wire, or the marks on the lamps",
        settles="what the lamp socket can give",
    )
    tow_side_current: Current | None = asked(
        "largest current one lamp wire of the tow vehicle's socket may give",
        example="7.5 A",
        where="converter's label, or the fuse",
        settles="what the lamp socket can give",
    )
    wire_size: WireSize | None = asked(
        "wire to the towed vehicle's lamps",
        example="16 AWG",
        where="print on the wire, or a wire gauge",
        settles="light of the towed lamps",
        label="Wire to the lamps, size",
    )
    wire_length: Length | None = asked(
        "wire from the tow vehicle's socket to the rear lamps, one way",
        example="7.6 m",
        where="tape, along the wire",
        settles="light of the towed lamps",
        label="Wire to the lamps, one way",
    )
    return_way: Literal["own wire", "frame"] | None = asked(
        "the way back from the lamps: a wire of its own or the frame", where="look", label="The way back"
    )
    contact_resistance: Resistance | None = asked(
        "resistance of one wire's contacts in the connector",
        example="0.03 ohm",
        where="meter: volts lost over current",
        label="Contacts of the connector",
    )
    ground_resistance: Resistance | None = asked(
        "resistance of the ground bolt or ground wire with its rust",
        example="0.05 ohm",
        where="meter: volts lost over current",
        label="Rust at the ground",
    )
    between: Literal["straight wires", "converter", "silicon diodes", "Schottky diodes"] | None = asked(
        "what stands between the lamp wires of the two vehicles",
        where="look",
        settles="wrong lamps lit",
        label="Between the vehicles",
    )
    lamp_kind: Literal["two-filament", "single-filament", "LED"] | None = asked(
        "kind of rear lamps: one bulb with two filaments, 21 W and 5 W bulbs, or LED",
        where="look",
        label="Kind of rear lamps",
    )


class Battery(Part):
    disconnected: bool | None = asked(
        "true when the battery is disconnected while towed and the steering stays free all the same",
        where="maker's manual of the towed vehicle",
        settles="battery with the key on",
    )
    capacity: Charge | None = asked(
        "capacity printed on the battery",
        where="battery label",
        settles="battery with the key on",
        label="Capacity printed on the battery",
    )
    rated_hours: Hours | None = asked(
        "hours over which that capacity is rated",
        example="20 h",
        where="battery label",
        label="Hours it was rated with",
    )
    kind: Literal["flooded", "AGM", "gel"] | None = asked(
        "kind of battery", where="battery label", label="Kind of battery"
    )
    cold_cranking: Current | None = asked(
        "cold cranking current printed on the battery",
        example="500 A",
        where="battery label",
        settles="battery with the key on",
        label="Cold cranking current",
    )
    engine_current: Current | None = asked(
        "current the starter of the towed vehicle takes, warm",
        example="150 A",
        where="meter or " + MANUAL,
        label="Starter of the warm engine",
    )
    age_years: Annotated[int, WholeNumber(0, 25, 3)] | None = asked(
        "age of the battery in years", where="date on the battery", label="Age of the battery in years"
    )
    coldest: AirTemperature | None = asked(
        "coldest it will be when you start the engine",
        example="0 degC",
        where="forecast",
        label="Coldest when you start",
    )
    key_on_current: Current | None = asked(
        "current with the key as it stays while towed",
        example="2.5 A",
        where="meter at the battery's negative pole",
        settles="battery with the key on",
        label="Drawn with the key on",
    )
    feed_current: Current | None = asked(
        "current of a charging line from the tow vehicle", example="0 A", where="meter", label="Charging line"
    )
    hours_a_day: Hours | None = asked(
        "hours with the key on before the engine must start",
        where="your trip",
        settles="battery with the key on",
        label="Key on in a day",
    )


class OtherWaysToTow(Part):
    dolly_mass: SmallMass | None = asked(
        "mass of the dolly, empty", example="300 kg", where=SCALE, settles="dolly", label="Dolly, empty"
    )
    dolly_gvwr: Mass | None = asked(
        "dolly: heaviest weight of dolly and the axle on it", where=PLATE, settles="dolly"
    )
    dolly_ball_load: SmallMass | None = asked(
        "vertical load on the ball with the towed vehicle on the dolly",
        example="80 kg",
        where="bathroom scale under the coupler",
        settles="dolly",
        label="Dolly's load on the ball",
    )
    dolly_brakes: bool | None = asked(
        "true when the dolly has brakes that work", where="look", settles="dolly", label="Dolly's brakes work"
    )
    trailer_mass: SmallMass | None = asked(
        "mass of the trailer, empty", example="800 kg", where=SCALE, settles="trailer", label="Trailer, empty"
    )
    trailer_gvwr: Mass | None = asked("trailer: gross vehicle weight rating", where=PLATE, settles="trailer")
    trailer_tongue_share: Share | None = asked(
        "share of the loaded trailer's weight that presses the ball",
        example="12 %",
        where="bathroom scale and lever, or weighbridge",
        settles="trailer",
        label="Trailer's share on the ball",
    )
    trailer_brakes: bool | None = asked(
        "true when the trailer has brakes that work",
        where="look",
        settles="trailer",
        label="Trailer's brakes work",
    )
    dolly_length: Length | None = asked(
        "dolly: centre of its coupler to its axle",
        example="1.9 m",
        where=TAPE,
        settles="road needed with a dolly",
        label="Dolly, coupler to axle",
    )
    dolly_width: Length | None = asked(
        "dolly: width over its fenders",
        example="2.2 m",
        where=TAPE,
        settles="road needed with a dolly",
        label="Dolly, width",
    )
    dolly_deck_height: Size | None = asked(
        "dolly: road to its wheel pans", example="200 mm", where=TAPE, label="Dolly, pans above the road"
    )
    trailer_length: Length | None = asked(
        "trailer: centre of its coupler to the middle of its axles",
        example="4.4 m",
        where=TAPE,
        settles="road needed with a trailer",
        label="Trailer, coupler to axles",
    )
    trailer_width: Length | None = asked(
        "trailer: width over its fenders",
        example="2.4 m",
        where=TAPE,
        settles="road needed with a trailer",
        label="Trailer, width",
    )
    trailer_deck_length: Length | None = asked(
        "trailer: length of its deck",
        example="4.9 m",
        where=TAPE,
        settles="road needed with a trailer",
        label="Trailer, deck length",
    )
    trailer_deck_height: Size | None = asked(
        "trailer: road to its deck", example="620 mm", where=TAPE, label="Trailer, deck above the road"
    )
    carrier_rolling_resistance: Coefficient | None = asked(
        "rolling resistance coefficient of dolly and trailer tyres, a bare number",
        example="0.010",
        label="Dolly and trailer tyres, rolling",
    )
    trailer_drag_area: Area | None = asked(
        "what trailer and load add to the drag area, in the wake of the tow vehicle",
        example="0.9 m2",
        label="Drag area the trailer adds",
    )


class Load(Part):
    name: Words = Field(..., max_length=80, description="who or what it is")
    mass: SmallMass = asked("its mass", where="scale", required=True)
    vehicle: Literal["tow", "towed"] = asked("which vehicle carries it", default="tow")
    behind_front_axle: Position = asked("how far behind that vehicle's front hubs", where=TAPE, required=True)
    way: Literal["both", "out", "back"] = asked("on which way it is carried", default="both")


class Conditions(Part):
    air_temperature: AirTemperature | None = asked(
        "air temperature where the road starts, in shade",
        where="forecast for the hottest hour",
        settles="coolant and brake temperature",
        label="Air where the road starts",
    )
    cruise_speed: Speed | None = asked(
        "fastest you mean to drive with the towed vehicle",
        settles="climb and descent",
        label="Speed of the trip",
    )
    descent_speed: Speed | None = asked(
        "fastest you mean to drive on downgrades of 3 % and more",
        settles="brake temperature",
        label="Speed on downgrades",
    )
    tightest_turn: WideLength | None = asked(
        "tightest turn on the way, diameter between kerbs; the tow vehicle's own turning circle when empty",
        example="16 m",
        settles="angle in the tightest turn",
    )
    shortest_sight: WideLength | None = asked(
        "how far you see ahead in the worst bend of the way, paced or read off the map",
        example="60 m",
        where="paces, or the map",
        settles="stopping within sight",
    )
    damping_asked: Share | None = asked(
        "damping asked of a swing at cruising speed", example="30 %", label="Damping asked of the swing"
    )
    ramp_change: GradeChange | None = asked(
        "sharpest change of grade on the way: driveway, ford, crest",
        where="board and level at the driveway",
        settles="clearance over a ramp",
    )
    ramp_radius: Length | None = asked("radius with which that change is rounded", example="8 m")
    pothole_edge: SmallSize | None = asked(
        "height of the sharpest edge the wheels may hit", example="50 mm", label="Edge the front wheels meet"
    )
    curve_acceleration: Acceleration | None = asked(
        "sideways acceleration in the sharpest curve you take",
        example="3 m/s2",
        label="Side acceleration in a curve",
    )
    lowest_climb_speed: Speed | None = asked(
        "slowest you accept on the steepest climb", example="40 mph", settles="climb"
    )


class Rig(Part):
    name: Words = Field("", max_length=80, description="name of the rig")
    invented: bool = asked("true for a demonstration rig that does not exist", default=False)
    tow_vehicle: TowVehicle
    towed_vehicle: TowedVehicle
    hitch: Hitch = Hitch()
    tow_bar: TowBar = TowBar()
    bracket: Bracket = Bracket()
    safety_chains: SafetyChains = SafetyChains()
    lights: Lights = Lights()
    battery: Battery = Battery()
    other_ways: OtherWaysToTow = OtherWaysToTow()
    load: tuple[Load, ...] = Field((), max_length=200, description="people and cargo")
    conditions: Conditions = Conditions()
    _plus_minus: dict[str, float] = PrivateAttr(default_factory=dict)
    _not_read: dict[str, str] = PrivateAttr(default_factory=dict)
    _confirmed: dict[str, Any] = PrivateAttr(default_factory=dict)

    @property
    def not_read(self) -> dict[str, str]:
        """Newest texts that could not be read, by path: while they stand, no older value is in force."""
        return self._not_read

    @property
    def confirmed(self) -> dict[str, Any]:
        """Unusual values that the reader has confirmed, SI, by path: nothing is asked about those."""
        return self._confirmed

    @property
    def plus_minus(self) -> dict[str, float]:
        """How far a value may be off, SI, by path: what the reader wrote behind ±."""
        return self._plus_minus

    @model_validator(mode="after")
    def _peaks_agree(self) -> "Rig":
        engine = self.tow_vehicle.engine
        pairs = (
            ("idle", engine.idle, "redline", engine.redline),
            ("peak_torque_at", engine.peak_torque_at, "peak_power_at", engine.peak_power_at),
            ("peak_power_at", engine.peak_power_at, "redline", engine.redline),
        )
        for low_name, low, high_name, high in pairs:
            if low is not None and high is not None and low > high:
                raise InputError(
                    f"{low_name} {low:g} rpm above {high_name} {high:g} rpm",
                    f"{low_name} not above {high_name}",
                    field="tow_vehicle.engine",
                )
        if engine.curve and any(
            a.speed >= b.speed for a, b in zip(engine.curve, engine.curve[1:], strict=False)
        ):
            raise InputError(
                "engine speeds that do not rise",
                "a curve whose speeds rise from point to point",
                field="tow_vehicle.engine.curve",
            )
        return self


ROW_TABLES: dict[str, type[Part]] = {
    "load": Load,
    "bracket.bolts": BracketBolt,
}  # tables with a row for each thing


def row_of(path: str) -> tuple[str, int, str] | None:
    """Table, row number and field of a path such as 'load.0.mass'; None for a field that stands once."""
    for table in ROW_TABLES:
        if path.startswith(table + "."):
            number, _, name = path.removeprefix(table + ".").partition(".")
            return (table, int(number), name) if number.isdigit() else None
    return None


def read_rig_text(text: str, *, file: str = "rig") -> Rig:
    """A rig from TOML text; InputError names the file, the field, what was found and what is wanted."""
    data = toml_tables(text, LINES, file=file)
    if not data:
        raise InputError("an empty file", "a rig with at least [tow_vehicle] and [towed_vehicle]", file=file)
    return rig_from_data(data, file=file)


def toml_tables(text: str, wanted: str, *, file: str) -> dict[str, Any]:
    """The tables of a TOML text; InputError for text that is not TOML and for what would stop Python
    itself.
    """
    for number, line in enumerate(text.split("\n"), start=1):
        if line.count(".") > MOST_DOTS:  # a name such as a.a.a… of thousands of parts costs tomllib gigabytes
            raise InputError(f"more than {MOST_DOTS} dots in one line", wanted, file=f"{file}, line {number}")
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"text that is not TOML: {error}", wanted, file=file) from None
    except ValueError:  # Python reads no whole number of thousands of digits
        raise InputError(_TOO_LARGE, wanted, file=file) from None
    except RecursionError:
        raise InputError(_TOO_DEEP, wanted, file=file) from None
    if odd := _what_no_file_means(data):
        raise InputError(odd, wanted, file=file)
    return data


_TOO_LARGE, _TOO_DEEP = "a whole number of more than 18 digits", "brackets nested too deep"


def _what_no_file_means(data: dict[str, Any]) -> str:
    """Numbers larger than TOML knows, or tables and lists too deep in one another; '' when neither. Recursion
    itself would fail on those.
    """
    level: list[Any] = [data]
    for _ in range(MOST_NESTED):
        level = [item for part in level for item in (part.values() if isinstance(part, dict) else part)]
        if any(isinstance(item, int) and abs(item) >= 10**18 for item in level):
            return _TOO_LARGE
        level = [item for item in level if isinstance(item, dict | list)]
        if not level:
            return ""
    return _TOO_DEEP


def rig_from_data(data: dict[str, Any], *, file: str = "rig") -> Rig:
    """A rig from the tables of a TOML file; a ± behind a value goes to `plus_minus`."""
    try:
        confirmed = data.get(CONFIRMED, {})
        plain, wide = without_plus_minus({name: part for name, part in data.items() if name != CONFIRMED})
        rig = Rig.model_validate(plain)
        rig.plus_minus.update({path: _plus_minus_si(path, text, rig) for path, text in wide.items()})
        rig.confirmed.update(_confirmed_values(confirmed))
    except ValidationError as error:
        raise _first_problem(error, file) from None
    except InputError as error:
        raise error.at(file=file) from None
    except RecursionError:
        raise InputError("brackets nested too deep", LINES, file=file) from None
    return rig


def _confirmed_values(told: Any) -> dict[str, Any]:
    """The values of the table [confirmed], read as those of their fields are."""
    if not isinstance(told, dict):
        raise InputError(
            quote(told),
            f'a table [{CONFIRMED}] with lines such as "tow_vehicle.gvwr" = "9000 kg"',
            field=CONFIRMED,
        )
    found = {}
    for path, text in told.items():
        rule = rule_of(field_info(path))
        plain = split_plus_minus(text)[0] if isinstance(text, str) else text
        try:
            found[path] = rule.read(plain) if rule else tuple(plain) if isinstance(plain, list) else plain
        except InputError as error:
            raise error.at(field=f"{CONFIRMED}.{path}") from None
    return found


def without_plus_minus(data: dict[str, Any]) -> tuple[dict[str, Any], dict[str, str]]:
    """The tables without any ±, and the text behind each ± by path."""
    wide: dict[str, str] = {}

    def walk(value: Any, path: str) -> Any:
        if isinstance(value, dict):
            return {name: walk(item, f"{path}.{name}" if path else str(name)) for name, item in value.items()}
        if isinstance(value, list):
            return [walk(item, f"{path}.{number}") for number, item in enumerate(value)]
        if not isinstance(value, str):
            return value
        text, behind = split_plus_minus(value)
        if behind and may_be_off(path):
            wide[path] = behind
            return text if rule_of(field_info(path)) else _number(text.removesuffix("%").strip())
        return value

    return walk(data, ""), wide


def may_be_off(path: str) -> bool:
    """Whether a field is a measured number, which may carry a ±."""
    try:
        info = field_info(path)
    except InputError:
        return False
    return (rule_of(info) or rule_of(info, BareNumber)) is not None


def _number(text: str) -> Any:
    try:
        return float(text)
    except ValueError:
        return text


def _plus_minus_si(path: str, text: str, rig: Rig) -> float:
    """A ± as SI, not wider than the range the value may have."""
    value = value_at(rig, path)
    rule = rule_of(field_info(path))
    try:
        share = None if rule else share_of_value(text)
        if rule:
            amount = plus_minus_si(text, rule.kind, value)
        elif share is not None and share < 1.0:
            amount = share * value
        else:
            amount = float(text)
    except InputError as error:
        raise error.at(field=path) from None
    except ValueError:
        raise InputError(
            f"± {quote(text)}",
            "a bare number such as 0.1, or a share of the value below 100 % such as 5 %",
            field=path,
        ) from None
    low, high = real_range(path)
    if not 0 < amount <= high - low:
        raise InputError(
            f"± {quote(text)}", "a ± above zero and no wider than the values this field can have", field=path
        )
    return amount


def real_range(path: str) -> tuple[float, float]:
    """The ends outside which a measured number must be a slip, SI."""
    info = field_info(path)
    rule = rule_of(info) or rule_of(info, BareNumber)
    return rule.low, rule.high


def value_at(rig: Rig, path: str) -> Any:
    """The value of a path such as 'tow_vehicle.gvwr' or 'load.0.mass'."""
    value: Any = rig
    for step in path.split("."):
        value = value[int(step)] if step.isdigit() else getattr(value, step)
    return value


def field_info(path: str) -> Any:
    """The pydantic field behind a path such as 'tow_vehicle.gvwr'."""
    row = row_of(path)
    model: Any = ROW_TABLES[row[0]] if row else Rig
    for step in (row[2] if row else path).split("."):
        info = (
            model.model_fields.get(step) if isinstance(model, type) and issubclass(model, BaseModel) else None
        )
        if info is None:
            raise InputError(f"no field '{path}' in the rig model", "a path such as 'tow_vehicle.gvwr'")
        model = info.annotation
    return info


def in_words(text: str) -> str:
    """A text for readers: every path of a field in it becomes the field's label.

    >>> in_words("not known (hitch.receiver_height)")
    'not known (Receiver above the road, empty)'
    """

    def label(found: re.Match[str]) -> str:
        try:
            return label_of(found[0])
        except (InputError, AttributeError):
            return found[0]

    return _PATH.sub(label, text)


_PATH = re.compile(rf"\b(?:{'|'.join(Rig.model_fields)})(?:\.[a-z_0-9]+)+")


def label_of(path: str) -> str:
    """What stands beside a slider of a field: its short label, with a word for the part where parts are
    alike; else its description up to the first comma or semicolon.

    >>> label_of("towed_vehicle.tyres.width"), label_of("tow_vehicle.gvwr")
    ('Towed tyre width', 'gross vehicle weight rating (GVWR)')
    """
    info, (part, _, _) = field_info(path), path.rpartition(".")
    whose = "" if not part or row_of(path) else _short_label(field_info(part))
    words = _short_label(info) or re.split("[,;]", info.description or path, maxsplit=1)[0]
    return f"{whose} {words}".strip()


def _short_label(info: Any) -> str:
    return (info.json_schema_extra or {}).get("label", "")


def load_rig(path: str | Path) -> Rig:
    """A rig from a TOML file; InputError for anything that cannot be read."""
    path = Path(path)
    return read_rig_text(
        read_text(path, MAX_RIG_BYTES, wanted="a rig file such as data/rigs/demo_comfortable.toml"),
        file=path.name,
    )


def read_text(path: Path, most_bytes: int, *, wanted: str) -> str:
    """The text of a file a reader named; InputError when it is missing, a folder, too large or not text."""
    named = file_words(path)
    try:
        about = path.stat()
        is_folder, size, raw = stat.S_ISDIR(about.st_mode), about.st_size, b""
        if not is_folder and not stat.S_ISREG(about.st_mode):
            raise InputError("a device or a pipe", wanted, file=named)
        if not is_folder and size <= most_bytes:
            with path.open("rb") as file:
                raw = file.read(most_bytes + 1)  # a few files of the system say they are empty and never end
            size = max(size, len(raw))
    except (OSError, ValueError) as error:  # ValueError: a null byte in the name
        if isinstance(error, InputError):
            raise
        reason = getattr(error, "strerror", None) or "a name that cannot be opened"
        raise InputError(f"no readable file ({reason})", wanted, file=named) from None
    if is_folder:
        raise InputError("a folder", wanted, file=named)
    if size > most_bytes:
        found = f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{size / 1000:.1f} kB"
        raise InputError(found, f"a file of at most {most_bytes / 1000:,g} kB", file=path.name)
    return plain_text(raw, wanted, file=path.name)


def plain_text(raw: bytes, wanted: str, *, file: str) -> str:
    """The content of a file as text; InputError when it is none."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "\0"
    if "\0" in text:
        raise InputError("bytes that are not text", wanted, file=file)
    return text


def _first_problem(error: ValidationError, file: str) -> InputError:
    problems = sorted(
        error.errors(include_url=False), key=lambda problem: problem["type"] != "extra_forbidden"
    )
    first = problems[0]
    steps = [
        part
        for part in first["loc"]
        if not (isinstance(part, str) and part.startswith(("function-", "lax-or")))
    ]
    field = ".".join(str(step + 1) if isinstance(step, int) else str(step) for step in steps)
    more = f" ({len(problems) - 1} more to mend after this one)" if len(problems) > 1 else ""
    cause = first.get("ctx", {}).get("error")
    if isinstance(cause, InputError):
        return InputError(cause.found, cause.wanted + more, field=cause.field or field, file=file)
    kind, found = first["type"], first.get("input")
    if kind == "missing":
        return InputError(
            "nothing", f"this required field, for example {_example_for(steps)}{more}", field=field, file=file
        )
    if kind == "extra_forbidden":
        return InputError(
            "a name that is not known here", f"{_known_names(steps)}{more}", field=field, file=file
        )
    if kind == "literal_error":
        return InputError(quote(found), f"one of {first['ctx']['expected']}{more}", field=field, file=file)
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return InputError(quote(found), f"a table with named lines{more}", field=field, file=file)
    return InputError(
        quote(found), f"{first['msg'][0].lower()}{first['msg'][1:]}{more}", field=field, file=file
    )


def _model_at(steps: list[Any]) -> type[BaseModel] | None:
    model: Any = Rig
    for step in steps:
        if isinstance(step, int):
            continue
        info = (
            model.model_fields.get(step) if isinstance(model, type) and issubclass(model, BaseModel) else None
        )
        if info is None:
            return None
        model = info.annotation
        arguments = [
            a for a in getattr(model, "__args__", ()) if isinstance(a, type) and issubclass(a, BaseModel)
        ]
        model = arguments[0] if arguments else model
    return model if isinstance(model, type) and issubclass(model, BaseModel) else None


def _known_names(steps: list[Any]) -> str:
    from difflib import get_close_matches

    model = _model_at(steps[:-1])
    names = list(model.model_fields) if model else []
    close = get_close_matches(str(steps[-1]), names, n=1)
    if close:
        return f"perhaps '{close[0]}'"
    few = names[:MOST_NAMED]
    while len(", ".join(few)) > MOST_NAMED_LETTERS:
        few.pop()
    rest = ", … (all stand in data/rig_fields.md)" if len(few) < len(names) else ""
    return f"one of {', '.join(few)}{rest}"


def _example_for(steps: list[Any]) -> str:
    model = _model_at(steps[:-1])
    info = model.model_fields.get(str(steps[-1])) if model else None
    rule = rule_of(info) if info else None
    if rule:
        return f'{steps[-1]} = "{rule.example or KINDS[rule.kind].example}"'
    return f"[{'.'.join(str(step) for step in steps)}]"
