from __future__ import annotations

import numpy as np

from expert.export.log_curves import curves
from expert.ui.layout import Look, lines_of
from expert.ui.protocol import Plot, Steps
from expert.ui.show_plot import plot_blocks
from tests.export.logs import FEATURES, FINDINGS, SPRING_KPA, recording


def test_a_curve_becomes_a_plot_with_its_evidence_in_words() -> None:
    plot, told = plot_blocks(curves(recording(), FEATURES, FINDINGS), SPRING_KPA)
    assert isinstance(plot, Plot) and isinstance(told, Steps)
    assert plot.title.startswith("Pull 1, ")
    assert plot.level == SPRING_KPA
    assert len(plot.curve) == len(plot.target) == len(plot.strip) == 40
    assert [letter for letter, _, _ in plot.marks] == ["a"]
    assert told.items == ("a: boost climbs with rpm",)


def test_without_evidence_there_are_no_words_under_it() -> None:
    blocks = plot_blocks(curves(recording(), FEATURES, ()), None)
    assert [type(block) for block in blocks] == [Plot, Plot]


def test_missing_values_and_wavering_rpm_leave_points_in_order() -> None:
    log = recording(target=False, duty=False)
    log.values["rpm"][10:12] = log.values["rpm"][11:9:-1]
    log.values["boost"][5] = np.nan
    plot = plot_blocks(curves(log, FEATURES, FINDINGS), None)[0]
    assert isinstance(plot, Plot)
    speeds = [x for x, _ in plot.curve]
    assert len(speeds) == 39 and speeds == sorted(speeds)
    assert (plot.target, plot.strip, plot.level) == ((), (), None)


def test_the_plot_fits_a_narrow_window_without_drawing_signs() -> None:
    (plot, *_) = plot_blocks(curves(recording(), FEATURES, FINDINGS), SPRING_KPA)
    lines = ["".join(span.text for span in line) for line in lines_of(plot, Look(40, False))]
    assert all(len(line) <= 40 and line.isascii() for line in lines)
    assert any("*" in line for line in lines)
