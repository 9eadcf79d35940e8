"""Whatever is answered: the conversation ends, and what it writes loads."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from expert.errors import KnowledgeError
from expert.loading.folder import load_with_cases
from expert.workbench.add.draft import Draft, standing
from expert.workbench.add.hear import fits, short_number
from expert.workbench.add.plan import plan
from expert.workbench.add.question import Question, Value
from expert.workbench.add.script import script
from expert.workbench.add.stage import write_all
from tests.workbench.add import folders
from tests.workbench.add.test_compose import PROSE

MOST_QUESTIONS = 400


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    with pytest.MonkeyPatch.context() as patch:
        yield folders.base(tmp_path_factory.mktemp("any"), patch)


def answer(question: Question, data: st.DataObject) -> Value:
    """Any answer that the question takes."""
    names = list(question.choices)
    if question.default is not None and data.draw(st.booleans()):
        return question.default
    if question.form == "one":
        return (data.draw(st.sampled_from(names)),)
    if question.form == "several":
        free = [name for name in names if name not in question.alone]
        if question.alone and (not free or data.draw(st.booleans())):
            return (data.draw(st.sampled_from(list(question.alone))),)
        chosen = data.draw(st.lists(st.sampled_from(free), min_size=question.least, unique=True))
        return tuple(chosen) if chosen or question.default == () else (free[0],)
    if question.form == "probability":
        return (short_number(question.most * data.draw(st.sampled_from([0.0, 0.3, 1.0]))),)
    if question.form == "id":
        assert question.default is not None
        return question.default
    if question.form == "text":
        return (data.draw(PROSE),)
    return ({"minutes": "7.5", "whole": "9", "pressure": "48"}[question.form],)


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(data=st.data())
def test_it_ends_and_loads(base: Path, data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as made:
        shop = Path(made).resolve() / "shop"
        place, loaded, setting = folders.opened(shop)
        draft = Draft()
        while (now := standing(lambda: script(setting), draft)).question is not None:
            assert len(draft.answers) < MOST_QUESTIONS
            if now.question.choices == {}:
                assert now.question.form not in ("one", "several"), now.question
            value = answer(now.question, data)
            assert fits(now.question, value), (now.question, value)
            draft = draft.answered(now.question.key, value)
        assert now.used == len(draft.answers)
        assert now.result is not None
        write_all(plan(now.result, loaded, place).changes)
        try:
            after = load_with_cases([base, shop])
        except KnowledgeError as error:
            pytest.fail(f"{error}\n{draft.answers}")
        entries = {**after.knowledge.causes, **after.knowledge.checks}
        assert now.result.id in entries
