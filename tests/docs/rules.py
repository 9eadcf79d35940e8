"""docs/rules.md, made of the registry of rules; ``python -m tests.docs.rules`` writes it."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Mapping
from pathlib import Path

from expert.rules.registry import BY_ID, RULES
from expert.rules.rule import Finding, Rule
from expert.workbench.check import checked
from tests.docs.pages import RULES as PAGE
from tests.rules.bench import folders

HEAD = """\
# The rules of knowledge check

`gatepost knowledge check` refuses files that are wrong in their form; see
[knowledge.md](knowledge.md#finding-mistakes). What is well formed may still be unwise: a fault
that no check can confirm, a run before the hoses are traced, a number without a unit. The rules
on this page look for that, over all folders together.

This page is made of the rules themselves; `python -m tests.docs.rules` writes it anew. Every
example is loaded by a test, which expects the finding in the first file and none in the last. The
lines of a finding are those that the command prints.

A finding is an error where it can hurt people or engines, else a warning. Either makes the exit
code 1. When a rule is right in general and wrong for one cause, check or symptom, `excused` in
that entry says why; see [knowledge.md](knowledge.md#excuses). A rule marked `--fix` mends what it
finds for certain: `gatepost knowledge check --fix` does so in the folders of `--knowledge`, or in
the shipped one when none is named. It writes whole files or nothing.

To try one rule, name it: `gatepost knowledge check --rule unconfirmed`. To add one, see
[DEVELOPERS.md](../DEVELOPERS.md#add-a-rule-for-the-files).

| Rule | Severity | What it finds |
|---|---|---|
| `form` | error | what keeps a file from being read at all |
"""


def page() -> str:
    """The whole page."""
    lines = [f"| [`{rule.id}`](#{rule.id}) | {rule.severity} | {rule.summary} |" for rule in RULES]
    sections = [section(rule) for rule in RULES]
    return "\n".join([HEAD + "\n".join(lines), *sections])


def section(rule: Rule) -> str:
    """What the page says about one rule."""
    found = findings(rule, rule.wrong)
    mends = ", and `--fix` mends it" if any(one.fix for one in found) else ""
    summary = rule.summary[0].upper() + rule.summary[1:]
    shown = "".join(f"{_line(one)}\n" for one in found)
    kind = "an error" if rule.severity == "error" else "a warning"
    return f"""
## {rule.id}

{_wrapped(f"{summary}. This is {kind}{mends}.")}

{_wrapped(rule.why)}

Wrong:

{_files(rule.wrong)}
```text
{shown}```

Right:

{_files(rule.right).rstrip()}
"""


def findings(rule: Rule, files: Mapping[str, str]) -> list[Finding]:
    """What the rule finds in its example, on top of a small invented knowledge."""
    run = RULES if rule.after_all else (BY_ID[rule.id],)
    with tempfile.TemporaryDirectory() as name:
        found = checked(folders(Path(name), files), run).findings
        ours = str(Path(name) / "ours")
        return [one for one in found if one.rule == rule.id and one.place.file.startswith(ours)]


def _line(one: Finding) -> str:
    file = one.place.file.partition("/ours/")[2]
    place = f"{file}:{one.place.line}:{one.place.column}"
    return f"{place}: {one.severity}: {one.message} [{one.rule}]"


def _files(files: Mapping[str, str]) -> str:
    return (
        "\n".join(
            f"`{name}`\n\n```yaml\n{visible(text)}```\n" for name, text in files.items()
        ).rstrip("\n")
        + "\n"
    )


def visible(text: str) -> str:
    """The text with what cannot be seen: a mark, blanks at line ends, returns, a missing break."""
    text = text.replace("\ufeff", "\N{SYMBOL FOR START OF HEADING}")
    text = re.sub(r" +(?=\r?\n)", lambda found: "\N{OPEN BOX}" * len(found[0]), text)
    text = text.replace("\r", "\N{SYMBOL FOR CARRIAGE RETURN}")
    return text if text.endswith("\n") else f"{text}\N{SYMBOL FOR END OF TEXT}\n"


def _wrapped(text: str, width: int = 100) -> str:
    lines = [""]
    for word in text.split():
        if len(lines[-1]) + len(word) >= width:
            lines.append("")
        lines[-1] += f"{' ' if lines[-1] else ''}{word}"
    return "\n".join(lines)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
