"""A description in a file: ``expert/evidence/hookup/file.py``."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from expert.errors import GatepostError, MissingError
from expert.evidence.hookup.file import Description, DescriptionError, read_description

TEXT = """\
# Found on the bench, all invented.
setup: external-single
bypass: manifold
spring: 7 psi
hoses:
  - housing-nipple.nipple=three-port.normally-closed
  - three-port.normally-open=air
split: [three-port.common]
tees: [three-port.common=external-gate.upper]
plugged: false
"""


def test_a_description(tmp_path: Path) -> None:
    path = tmp_path / "car.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert read_description(path) == Description(
        setup="external-single",
        bypass="manifold",
        spring="7 psi",
        hoses=(
            "housing-nipple.nipple=three-port.normally-closed",
            "three-port.normally-open=air",
        ),
        tees=("three-port.common=external-gate.upper",),
        split=("three-port.common",),
        plugged=False,
    )


@pytest.mark.parametrize(
    ("text", "report"),
    [
        ("", "1:1: the file is empty"),
        ("# nothing\n", "1:1: the file says nothing"),
        ("hoses: []\n", "1:1: 'setup' is missing here; add it"),
        ("setup: a\nhose: [a=b]\n", "2:1: the key 'hose' is not known; did you mean 'hoses'?"),
        ("setup: a\ngate: inner\n", "2:7: found the text 'inner'; expected one of internal"),
        ("setup: a\nhoses: a=b\n", "2:8: found the text 'a=b'; expected a list"),
        ("setup: a\nplugged: maybe\n", "2:10: found the text 'maybe'; expected one of true"),
        ("setup: [", "1:9: something is missing here"),
    ],
)
def test_what_is_wrong_with_it(text: str, report: str, tmp_path: Path) -> None:
    path = tmp_path / "car.yaml"
    path.write_text(text)
    with pytest.raises(DescriptionError) as caught:
        read_description(path)
    assert report in str(caught.value)
    assert str(caught.value).endswith("Mend the file, then ask again.")


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(MissingError, match="there is no such file"):
        read_description(tmp_path / "no.yaml")


@given(data=st.binary(max_size=200))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
def test_any_bytes_are_read_or_refused(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "car.yaml"
    path.write_bytes(data)
    try:
        read_description(path)
    except GatepostError as error:
        assert str(error)
