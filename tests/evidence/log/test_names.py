"""Names of columns: ``expert/evidence/log/names.py``."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from expert.evidence.log.names import Lexicon, common_words, letters_of
from expert.model import LogChannel
from tests.evidence.log.sheets import CHANNELS

LEXICON = Lexicon(CHANNELS)


@pytest.mark.parametrize(
    ("name", "channel"),
    [
        *(("MAP", "boost"), ("Boost_Pressure.1", "boost"), ("boostPressure", "boost")),
        *(("boostpressure", "boost"), ("pressure, boost", "boost"), ("Ladedruck", "boost")),
        *(("LadedruckIstwert", "boost"), ("Saugrohrdruck", "boost"), ("p_intake", "boost")),
        *(("Pression d'admission", "boost"), ("Presión de admisión", "boost")),
        *(("BoostTarget", "target"), ("Boost Pressure Desired", "target")),
        *(("ladedrucksollwert", "target"), ("Ladedruck_Soll", "target")),
        *(("Consigne pression turbo", "target"), ("Presión turbo objetivo", "target")),
        *(("WGDC", "duty"), ("wg_duty_cycle", "duty"), ("Wastegate solenoid [1]", "duty")),
        *(("RCO wastegate", "duty"), ("Tastverhältnis Ladedruck", "duty")),
        *(("TPS", "throttle"), ("DK-Winkel", "throttle"), ("Papillon", "throttle")),
        *(("Drosselklappenwinkel", "throttle"), ("Posición de la mariposa", "throttle")),
        *(("APP", "pedal"), ("Fahrpedalstellung", "pedal"), ("Acelerador", "pedal")),
        *(("nEngine", "rpm"), ("Motordrehzahl", "rpm"), ("Régime moteur", "rpm")),
        *(("RPM", "rpm"), ("n", "rpm"), ("Umgebungsdruck", "barometer")),
        *(("vehicleSpeed", "speed"), ("Vitesse véhicule", "speed"), ("Velocidad", "speed")),
        *(("Gang", "gear"), ("Lambda 1", "mixture"), ("AFR", "mixture"), ("λ", "mixture")),
        *(("IAT", "intake"), ("Ansauglufttemperatur", "intake"), ("Charge air temp", "intake")),
    ],
)
def test_trade_names(name: str, channel: str) -> None:
    best = LEXICON.fits(name)[0]
    assert best.channel == channel
    assert best.share > 0.9


@pytest.mark.parametrize(
    ("name", "not_channel"),
    [
        *(("Boost error", "boost"), ("Boost target", "boost"), ("Boost limit", "boost")),
        *(("Boost control integral", "boost"), ("Boost duty", "boost"), ("Fuel map", "boost")),
        *(("Exhaust manifold pressure", "boost"), ("Fuel pressure", "boost")),
        *(("Ladedruck Regelabweichung", "boost"), ("Ladedruck Soll", "boost")),
        *(("Throttle request", "throttle"), ("Drosselklappe Sollwert", "throttle")),
        *(("Wastegate duty base", "duty"), ("Duty correction", "duty"), ("Injector duty", "duty")),
        *(("Idle valve duty", "duty"), ("Engine speed", "speed"), ("Vehicle speed", "rpm")),
        *(("Wheel speed FL", "speed"), ("Turbo speed", "rpm"), ("Idle target rpm", "rpm")),
        *(("Coolant temperature", "intake"), ("Ambient air temperature", "intake")),
        *(("Öltemperatur", "intake"), ("Gear shift light", "gear"), ("Gear ratio", "gear")),
        *(("Lambda target", "target"), ("Lambda target", "mixture"), ("Idle target", "target")),
        *(("Throttle target", "target"), ("Lap time", "time"), ("Injection time", "time")),
    ],
)
def test_names_that_only_look_alike(name: str, not_channel: str) -> None:
    fits = {fit.channel: fit.share for fit in LEXICON.fits(name)}
    best = max(fits.values())
    assert fits.get(not_channel, 0.0) <= 0.6 * best


def test_an_unknown_word_makes_it_less_sure() -> None:
    plain, unknown, two = (
        next(fit.share for fit in LEXICON.fits(name) if fit.channel == "boost")
        for name in ("boost", "boost xyzzy", "boost xyzzy plugh")
    )
    assert plain == 1.0
    assert plain > unknown > two


def test_a_letter_alone_is_a_name_only_alone() -> None:
    assert LEXICON.fits("n")[0].channel == "rpm"
    assert "rpm" not in {fit.channel for fit in LEXICON.fits("n xyzzy")}


def test_nothing_known() -> None:
    assert LEXICON.fits("xyzzy") == []
    assert LEXICON.fits("") == []
    assert LEXICON.fits("12.5") == []


def test_words_of_most_columns_say_nothing() -> None:
    names = ["Xy Boost", "Xy RPM", "Xy TPS", "Xy Duty", "Other"]
    common = common_words(names)
    assert common == {"xy"}
    assert LEXICON.fits("Xy Boost", common)[0].share > LEXICON.fits("Xy Boost")[0].share
    assert common_words(names[:3]) == frozenset()


@given(st.text(max_size=80))
def test_any_name_is_read(name: str) -> None:
    for fit in LEXICON.fits(name):
        assert 0.0 < fit.share <= 1.0
        assert fit.channel in CHANNELS


_EVERY_NAME = [
    (channel, name)
    for channel, entry in CHANNELS.items()
    for name in entry.names
    if len("".join(letters_of(name))) > 1
]


@given(st.sampled_from(_EVERY_NAME), st.integers(0, 99), st.randoms())
def test_every_name_in_any_dress(one: tuple[str, str], number: int, draw: random.Random) -> None:
    channel, name = one
    words = [*letters_of(name)]
    draw.shuffle(words)
    sign = draw.choice(["_", " ", ".", "-", " / "])
    dressed = draw.choice([str.upper, str.lower, str.title])(sign.join(words)) + f" [{number}]"
    best = LEXICON.fits(dressed)
    assert channel in {fit.channel for fit in best if fit.share == best[0].share}
    assert best[0].exact


def test_a_line_in_the_file_is_enough() -> None:
    boost = CHANNELS["boost"]
    entry = LogChannel(
        title=boost.title,
        quantity=boost.quantity,
        names=(*boost.names, "QX7 Druckwert B"),
        basis="invented",
    )
    assert Lexicon({**CHANNELS, "boost": entry}).fits("qx7_druckwert_b")[0].channel == "boost"
    assert LEXICON.fits("qx7_druckwert_b") == []
