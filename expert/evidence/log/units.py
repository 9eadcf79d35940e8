"""Units as loggers write them, and the factor that leads to the one used inside.

Inside are s, 1/min, kPa, per cent, km/h, degrees Celsius and lambda. Factors: NIST Special
Publication 811 (2008), appendix B.8. Petrol is burnt completely at 14.7 parts of air by mass, as
textbooks have it; that turns an air-fuel ratio into lambda.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, overload

from expert.evidence.log.record import Reference
from expert.units import KPA_PER

# As typing.TYPE_CHECKING, whose module takes a while to import.
TYPE_CHECKING = False
if TYPE_CHECKING:
    from expert.evidence.log.record import Floats

STOICHIOMETRIC_PETROL: Final = 14.7
# A butterfly turns through a right angle; most stop a little before.
FULL_TURN_DEG: Final = 90.0


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: ``value * factor + offset`` is in the unit used inside.

    ``name`` is how we write it, and ``measures`` time, rotation, pressure, share, angle, speed,
    temperature, mixture, voltage or other. ``reference`` is what a pressure in it counts from,
    where the unit says so. A unit of ``voltage`` or ``other`` leads nowhere.
    """

    name: str
    measures: str
    factor: float = 1.0
    offset: float = 0.0
    reference: Reference | None = None

    @overload
    def inside(self, values: float) -> float: ...
    @overload
    def inside(self, values: Floats) -> Floats: ...
    def inside(self, values: float | Floats) -> float | Floats:
        """Values in this unit, in the one used inside; the same array where it is that one."""
        if self.factor == 1.0 and self.offset == 0.0:
            return values
        return values * self.factor + self.offset


_KELVIN: Final = 273.15
_PLAIN: Final[tuple[Unit, ...]] = (
    Unit("s", "time"),
    Unit("ms", "time", 1e-3),
    Unit("µs", "time", 1e-6),
    Unit("ns", "time", 1e-9),
    Unit("min", "time", 60.0),
    Unit("h", "time", 3_600.0),
    Unit("d", "time", 86_400.0),
    Unit("rpm", "rotation"),
    Unit("krpm", "rotation", 1_000.0),
    Unit("1/s", "rotation", 60.0),
    Unit("%", "share"),
    Unit("0-1", "share", 100.0),
    Unit("deg", "angle", 100.0 / FULL_TURN_DEG),
    Unit("km/h", "speed"),
    Unit("mph", "speed", 1.609344),
    Unit("m/s", "speed", 3.6),
    Unit("kn", "speed", 1.852),
    Unit("C", "temperature"),
    Unit("F", "temperature", 5.0 / 9.0, -32.0 * 5.0 / 9.0),
    Unit("K", "temperature", 1.0, -_KELVIN),
    Unit("lambda", "mixture"),
    Unit("AFR", "mixture", 1.0 / STOICHIOMETRIC_PETROL),
    Unit("V", "voltage"),
    Unit("other", "other"),
)
_PRESSURES: Final[Mapping[str, float]] = {
    **KPA_PER,
    "Pa": 1e-3,
    "MPa": 1e3,
    "mmHg": 0.1333224,
    "cmHg": 1.333224,
    "atm": 101.325,
    "kgf/cm2": 98.0665,
    "inH2O": 0.2490889,
}
BY_NAME: Final[Mapping[str, Unit]] = {
    **{unit.name: unit for unit in _PLAIN},
    **{name: Unit(name, "pressure", factor) for name, factor in _PRESSURES.items()},
}

# Spellings, squeezed as `_squeezed` does it.
_SPELLINGS: Final[Mapping[str, str]] = {
    "s": "s sec secs second seconds sek sekunde sekunden seconde secondes seg segundo segundos "
    "secondi sekunder hh:mm:ss h:mm:ss hh:mm:ss.sss hh:mm:ss.000 hms clock uhrzeit",
    "ms": "ms msec msecs millisec millisecond milliseconds millis millisekunden milliseconden "
    "millisecondes milisegundos millisecondi",
    "µs": "us usec microsecond microseconds microsec",
    "ns": "ns nsec nanoseconds",
    "min": "min mins minute minutes minuten minuto minutos minuti",
    "h": "h hr hrs hour hours std stunden heures horas ore",
    "d": "d day days tage jours dias",
    "rpm": "rpm 1/min u/min min-1 min^-1 /min tr/min t/min r/min rev/min revs/min revolutions/min "
    "giri/min g/min omw/min varv/min obr/min umin umdr/min umdrehungen/min upm rev/m rpms "
    "revs rev tours/min rev/minute revolutionsperminute 1/minute rotations/min",
    "krpm": "krpm rpmx1000 rpm*1000 x1000rpm 1000rpm x1000 1000/min rpm/1000 1/min*1000",
    "1/s": "1/s hz rev/s rps s-1",
    "%": "% percent pct prozent percentage percento porcentaje procent pourcent pourcentage "
    "porciento %dc %duty %open %tp dc% perc",
    "0-1": "0-1 0..1 ratio fraction share unity",
    "deg": "deg degree degrees grad angle degré degre degres grados gradi ° °tps degtps",
    "km/h": "km/h kmh kph kmph kmhr km/hr km/hour km/std kmh-1 kilometersperhour kilometer/h",
    "mph": "mph mi/h miles/h milesperhour mile/h miph",
    "m/s": "m/s mps ms-1 m/sec meter/s metres/s",
    "kn": "kn kt kts knots",
    "C": "c °c degc celsius centigrade deg.c oc gradc degcelsius degreesc degreescelsius degreec "
    "gradcelsius 'c",
    "F": "f °f degf fahrenheit deg.f of degfahrenheit degreesf degreesfahrenheit degreef 'f",
    "K": "k °k degk kelvin",
    "lambda": "lambda lam λ l.",
    "AFR": "afr a/f air/fuel a:f afrgas gas-afr :1 a/fratio afrgasoline",
    "V": "v mv volt volts voltage vdc spannung tension",
    "Pa": "pa pascal pascals n/m2",
    "kPa": "kpa kilopascal kilopascals kpas",
    "MPa": "mpa megapascal",
    "hPa": "hpa hectopascal hektopascal",
    "mbar": "mbar mb millibar millibars mbars",
    "bar": "bar bars",
    "psi": "psi lb/in2 lbs/in2 lbf/in2 lb/sqin lbs pounds lb",
    "inHg": "inhg in.hg inch.hg inchhg inchesofmercury in-hg \"hg ''hg inhg32 inmercury",
    "mmHg": "mmhg torr mm-hg",
    "cmHg": "cmhg",
    "atm": "atm atmosphere atmospheres",
    "kgf/cm2": "kgf/cm2 kg/cm2 kp/cm2 at kgcm2 kgf/cm^2 kg/cm^2",
    "inH2O": "inh2o in.h2o",
    "other": "a ma amp amps ohm g/s kg/h kg/hr lb/min lbs/min g/rev g mg mg/stk mg/str mg/stroke "
    "mg/cyl nm ft-lb ftlb lbft lb-ft kw w hp ps cv l/h l/min cc/min gal km mi m cm mm "
    "°ca °kw degca °crk degcrk °btdc degbtdc btdc °atdc m/s2 m/s^2 deg/s °/s %/s "
    "bit bits bool on/off hex enum kpa/s rpm/s g/l kj j db step steps",
}
_OF_SPELLING: Final[Mapping[str, Unit]] = {
    spelling: BY_NAME[name] for name, all_ in _SPELLINGS.items() for spelling in all_.split()
}
_REFERENCE_WORDS: Final[Mapping[str, Reference]] = {
    **dict.fromkeys(("a", "abs", "absolute", "absolut", "absolu"), "absolute"),
    **dict.fromkeys(("g", "gauge", "gage", "rel", "relative", "relativ", "ü"), "gauge"),
}
_REFERENCE_ENDS: Final = sorted(_REFERENCE_WORDS, key=len, reverse=True)
# What loggers write where there is no unit.
NO_UNIT: Final = frozenset({"", "-", "--", "1", "none", "n/a", "na", "unit", "units", "number"})
_SIGNS: Final = str.maketrans(
    {
        "µ": "u",
        "μ": "u",
        "º": "°",
        "˚": "°",
        "·": "*",
        "\N{MULTIPLICATION SIGN}": "x",
        "²": "2",
        "³": "3",
        "⁻": "-",
    }
    | {"\N{MINUS SIGN}": "-", "\N{EN DASH}": "-", "¹": "1", "\N{REPLACEMENT CHARACTER}": ""}
)
_OPEN_SIGNS: Final = re.compile(r"[\s_\[\](){}]+")
_STRANGE: Final = re.compile(r"[^a-z0-9%/.*-]+")
_LONGEST: Final = 40


def parse_unit(text: str) -> Unit | None:
    """The unit that a text names, None where it names none that is known here. Never raises."""
    squeezed = _squeezed(text)
    if squeezed in NO_UNIT or len(squeezed) > _LONGEST:
        return None
    found = _known(squeezed)
    # A degree sign read in the wrong encoding leaves other signs behind.
    return found if found is not None else _known(_STRANGE.sub("", squeezed))


def no_unit(text: str) -> bool:
    """Does the text say that there is no unit?"""
    return _squeezed(text) in NO_UNIT


def _known(squeezed: str) -> Unit | None:
    unit = _OF_SPELLING.get(squeezed)
    if unit is not None:
        return unit
    for word in _REFERENCE_ENDS:
        stem = squeezed.rstrip(".").removesuffix(word).rstrip("-.,")
        unit = _OF_SPELLING.get(stem)
        if stem != squeezed and unit is not None and unit.measures == "pressure":
            return _from(unit, _REFERENCE_WORDS[word])
    return None


def _from(unit: Unit, reference: Reference) -> Unit:
    return Unit(f"{unit.name} {reference}", "pressure", unit.factor, 0.0, reference)


def _squeezed(text: str) -> str:
    plain = unicodedata.normalize("NFKC", text.translate(_SIGNS)).casefold()
    return _OPEN_SIGNS.sub("", plain)
