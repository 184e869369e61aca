"""Road points from a GPX recording; nothing but RoadPoints or InputError comes out."""

import math
import re
from pathlib import Path
from typing import Any
from xml.sax import SAXException, SAXParseException
from xml.sax.handler import ContentHandler

import numpy as np

from towlib.errors import InputError, one_line, quote
from towlib.road.csv_file import HIGHEST_M, LOWEST_M, RoadPoints, check_size

MAX_GPX_POINTS = 200_000
MAX_GPX_BYTES = 60_000_000
MAX_GPX_ELEMENTS = 2_500_000  # with their attributes: about 400 MB while they are read
MAX_GPX_DEPTH = 40
STANDING_STILL_M = 5.0
MOST_MISSING = 0.20
LONG_GAP_M = 1_000.0

_WANTED = "a plain GPX recording with <trkpt> points"
_EXAMPLE = 'points such as <trkpt lat="-38.5" lon="-27.2"><ele>1480</ele></trkpt>'
_ELLIPSOID_A_M, _ELLIPSOID_E2 = 6_378_137.0, 6.694379990141e-3  # WGS-84


class _Enough(Exception):
    """Raised inside the first look at a GPX file, carrying the InputError that ends it."""


class _FirstLook(ContentHandler):
    """Counts what a GPX file holds without keeping any of it."""

    def __init__(self, file: str):
        super().__init__()
        self.file, self.depth, self.elements = file, 0, 0
        self.count = {"trkpt": 0, "rtept": 0, "wpt": 0}

    def startElement(self, name: str, attrs: Any) -> None:  # noqa: N802 (the name is the parser's)
        first = not self.elements
        self.elements += 1 + len(attrs)  # an attribute takes as much memory as an element
        self.depth += 1
        local = name.rpartition(":")[2]
        if first and local != "gpx":
            self._stop(f"XML that starts with <{quote(local)[1:-1]}>", "a GPX file, which starts with <gpx>")
        if self.depth > MAX_GPX_DEPTH:
            self._stop(f"XML parts nested more than {MAX_GPX_DEPTH} deep", _WANTED)
        if self.elements > MAX_GPX_ELEMENTS:
            self._stop(f"more than {MAX_GPX_ELEMENTS:,} XML parts", _WANTED)
        if local in self.count:
            self.count[local] += 1
            if self.count["trkpt"] + self.count["rtept"] > MAX_GPX_POINTS:
                self._stop(
                    f"more than {MAX_GPX_POINTS:,} points",
                    f"a recording of at most {MAX_GPX_POINTS:,} points",
                )

    def endElement(self, name: str) -> None:  # noqa: N802
        self.depth -= 1

    def _stop(self, found: str, wanted: str) -> None:
        raise _Enough(InputError(found, wanted, file=self.file))


def read_gpx(path: Path) -> RoadPoints:
    """Read a recording: tracks joined in order, or routes where there are no tracks; distances on the WGS-84
    ellipsoid.

    The file is first streamed through a hardened parser that refuses document types (and so every entity
    trick) and stops at the stated number of points; only then does the GPX parser see it.
    """
    check_size(path, MAX_GPX_BYTES, _WANTED)
    _look_first(path)
    name, stretches = _gpx_points(path)
    if not stretches:
        raise InputError("no track or route", "a recording with <trkpt> points", file=path.name)
    latitude, longitude, elevation = np.array(
        [point for stretch in stretches for point in stretch], dtype=float
    ).T
    _check_positions(latitude, longitude, elevation, path.name)
    notes = (
        [f"{len(stretches)} stretches of the recording were joined in order."] if len(stretches) > 1 else []
    )
    keep = _moved(latitude, longitude)
    if (still := len(latitude) - len(keep)) > 0:
        notes.append(
            f"{still} points within {STANDING_STILL_M:.0f} m of the one before (standing still) "
            "were left out."
        )
    steps = step_lengths_m(latitude[keep], longitude[keep])
    if len(keep) < 2:
        raise InputError(
            f"{len(keep)} point" if len(latitude) < 2 else "points that all lie in one place",
            "a recording of at least two points along a road",
            file=path.name,
        )
    if steps.max() > LONG_GAP_M:
        notes.append(
            f"The longest gap without points is {steps.max() / 1000:.1f} km; "
            "the road there is taken as straight and even."
        )
    distance = np.concatenate(([0.0], np.cumsum(steps)))
    elevation, filled = _fill_in(distance, elevation, keep, path.name)
    return RoadPoints(
        name or one_line(path.stem.replace("_", " ")),
        one_line(path.name),
        distance,
        elevation,
        None,
        tuple(notes + filled),
    )


def _look_first(path: Path) -> None:
    from defusedxml import DefusedXmlException, sax

    look = _FirstLook(path.name)
    try:
        with path.open("rb") as handle:
            sax.parse(handle, look, forbid_dtd=True)
    except _Enough as stop:
        raise stop.args[0] from None
    except DefusedXmlException:
        raise InputError(
            "a document type or entity definition", f"{_WANTED}, no <!DOCTYPE>", file=path.name
        ) from None
    except SAXParseException as error:
        place = f"{path.name}, line {error.getLineNumber()}"
        raise InputError(f"broken XML ({error.getMessage()})", _WANTED, file=place) from None
    except (SAXException, ValueError, LookupError) as error:
        raise InputError(f"XML that cannot be read ({quote(error)})", _WANTED, file=path.name) from None
    if look.count["trkpt"] + look.count["rtept"] == 0:
        found = "waypoints alone" if look.count["wpt"] else "no points"
        raise InputError(
            found, "a track or a route: <trkpt> or <rtept> points in the order driven", file=path.name
        )


def _gpx_points(path: Path) -> tuple[str, list[list[tuple[float, float, float | None]]]]:
    import gpxpy

    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("text that is not UTF-8", "a GPX file saved as UTF-8", file=path.name) from None
    # the GPX parser hunts for namespaces with a pattern that takes minutes where no '=' follows
    if any(text.find("=", match.end(), match.end() + 200) < 0 for match in re.finditer("xmlns", text)):
        raise InputError("'xmlns' without a value", _WANTED, file=path.name)
    try:
        gpx = gpxpy.parse(text)
        tracks = [segment.points for track in gpx.tracks for segment in track.segments if segment.points]
        begun = [first.time.timestamp() for first, *_ in tracks if first.time]
        if len(begun) == len(tracks):  # in the order they were driven
            tracks = [tracks[i] for i in sorted(range(len(tracks)), key=begun.__getitem__)]
        routes = [route.points for route in gpx.routes if route.points]
        names = [*(track.name for track in gpx.tracks), *(route.name for route in gpx.routes), gpx.name]
        name = next((name for name in names if name), "")
        points = [
            [(point.latitude, point.longitude, point.elevation) for point in stretch]
            for stretch in tracks or routes
        ]
    except (
        Exception
    ) as error:  # whatever a strange file makes someone else's parser raise becomes one sentence
        raise InputError(f"GPX that cannot be read ({quote(error, 80)})", _EXAMPLE, file=path.name) from None
    stretches = [tuple(stretch) for stretch in points if len(stretch) > 2]
    if len(set(stretches)) < len(stretches):
        raise InputError("the same stretch twice", "each stretch of the road once", file=path.name)
    return "".join(char for char in " ".join(name.split())[:100] if char.isprintable()), points


def _check_positions(latitude: np.ndarray, longitude: np.ndarray, elevation: np.ndarray, file: str) -> None:
    for values, most, label in ((latitude, 90.0, "latitude"), (longitude, 180.0, "longitude")):
        bad = np.flatnonzero(~(np.abs(values) <= most))
        if bad.size:
            raise InputError(
                f"{label} {values[bad[0]]:g} at point {bad[0] + 1}",
                f"a {label} between -{most:.0f} and {most:.0f} degrees",
                file=file,
            )
    bad = np.flatnonzero((elevation < LOWEST_M) | (elevation > HIGHEST_M))
    if bad.size:
        raise InputError(
            f"elevation {elevation[bad[0]]:g} m at point {bad[0] + 1}",
            f"an elevation between {LOWEST_M:.0f} and {HIGHEST_M:,.0f} m",
            file=file,
        )


def _moved(latitude: np.ndarray, longitude: np.ndarray) -> np.ndarray:
    """Places of the points at least 5 m from the last one kept, so that wandering on the spot adds no
    road.
    """
    north, east = _metres_per_radian(latitude)
    north, east = (math.pi / 180 * north).tolist(), (math.pi / 180 * east).tolist()
    lat, lon = latitude.tolist(), longitude.tolist()
    kept, last = [0], 0
    for i in range(1, len(lat)):
        across = abs(lon[i] - lon[last])
        if (
            math.hypot((lat[i] - lat[last]) * north[last], min(across, 360.0 - across) * east[last])
            >= STANDING_STILL_M
        ):
            kept.append(i)
            last = i
    return np.array(kept)


def _metres_per_radian(latitude_deg: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    phi = np.radians(latitude_deg)
    under = 1.0 - _ELLIPSOID_E2 * np.sin(phi) ** 2
    return _ELLIPSOID_A_M * (1.0 - _ELLIPSOID_E2) / under**1.5, _ELLIPSOID_A_M / np.sqrt(under) * np.cos(phi)


def step_lengths_m(latitude_deg: np.ndarray, longitude_deg: np.ndarray) -> np.ndarray:
    """Horizontal distance from each point to the next on the WGS-84 ellipsoid, good to 0.01 % for steps below
    10 km.
    """
    north, east = _metres_per_radian((latitude_deg[1:] + latitude_deg[:-1]) / 2)
    across = (np.diff(longitude_deg) + 180.0) % 360.0 - 180.0
    return np.hypot(np.radians(np.diff(latitude_deg)) * north, np.radians(across) * east)


def _fill_in(
    distance: np.ndarray, elevation: np.ndarray, keep: np.ndarray, file: str
) -> tuple[np.ndarray, list[str]]:
    missing = float(np.isnan(elevation).mean())
    known = ~np.isnan(elevation[keep])
    if missing >= MOST_MISSING or not known.any():
        raise InputError(
            f"{100 * missing:.0f} % of the points without elevation",
            "a recording with <ele> at every point",
            file=file,
        )
    filled = np.interp(distance, distance[known], elevation[keep][known])
    if missing == 0:
        return filled, []
    return filled, [
        f"{100 * missing:.1f} % of the points had no elevation; it was filled in from their neighbours."
    ]
