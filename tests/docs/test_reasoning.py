"""docs/reasoning.md against the policy and the constants that it names."""

from __future__ import annotations

from dataclasses import fields

from expert.case.firmness import DRAWS
from expert.case.standing import EXPLAINS, RENEWED
from expert.loading.decode import yaml_key
from expert.model import Knowledge, Policy
from expert.reasoning.plan import CAUSES_KEPT, CHECKS_KEPT
from tests.docs.pages import REASONING, ROOT, blocks, code, section, text_of, without_blocks

NUMBERS = {8: "eight", 24: "twenty-four", 40: "forty"}


def test_every_number_of_the_policy_is_explained() -> None:
    keys = {yaml_key(item.name) for item in fields(Policy)} - {"basis"}
    named = set(code(without_blocks(text_of(REASONING))))
    named |= {word for block in blocks(text_of(REASONING)) for word in block.text.split()}
    assert keys <= named


def test_constants() -> None:
    look = " ".join(section(REASONING, "## What to do next").split())
    assert f"the best {NUMBERS[CHECKS_KEPT]} checks" in look
    assert f"the {NUMBERS[CAUSES_KEPT]} likeliest causes" in look
    assert f"{NUMBERS[DRAWS]} times" in section(REASONING, "## How firm a ranking is")
    repair = " ".join(section(REASONING, "## After a repair").split())
    assert f"at least {100 * EXPLAINS:.0f} of 100 cars" in repair
    assert all(f"`{name}`" in repair for name in RENEWED)


def test_ids_that_the_page_names_are_there(shipped: Knowledge) -> None:
    named = {*code(section(REASONING, "## The load gate")), *code(section(REASONING, "## Priors"))}
    assert {"hose-trace", "red-flags", "what-changed", "worked-on"} <= named & shipped.checks.keys()
    assert {"overboost", "power-cut"} <= named & shipped.symptoms.keys()


def test_the_figures_stand_beside_the_command_that_prints_them() -> None:
    part = section(REASONING, "## How good the plan is")
    (command,) = [block.text for block in blocks(part) if block.mark == "prints"]
    (printed,) = [block.text for block in blocks(part) if block.mark == "printed"]
    path = command.split()[-1]
    source = (ROOT / path).read_text(encoding="utf-8")
    for words in ("plan / optimum, ", "problems of 5 causes x 5 checks: mean ", "worst "):
        assert words in printed
        assert words in source
