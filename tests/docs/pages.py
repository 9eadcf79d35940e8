"""The pages of the documentation, and what tests read from them: sections, tables, code blocks."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final, NamedTuple

ROOT: Final = Path(__file__).parents[2]
DEVELOPERS: Final = ROOT / "DEVELOPERS.md"
COMMANDS: Final = ROOT / "docs" / "commands.md"
JSON: Final = ROOT / "docs" / "json.md"
KNOWLEDGE: Final = ROOT / "docs" / "knowledge.md"
AUTHORING: Final = ROOT / "docs" / "authoring.md"
WORKBENCH: Final = ROOT / "docs" / "workbench.md"
RULES: Final = ROOT / "docs" / "rules.md"
MAIL: Final = ROOT / "docs" / "mail.md"
HOOKUP: Final = ROOT / "docs" / "hookup.md"
BENCH: Final = ROOT / "docs" / "bench.md"
REASONING: Final = ROOT / "docs" / "reasoning.md"
CASE: Final = ROOT / "docs" / "case.md"
LOGS: Final = ROOT / "docs" / "logs.md"
PAGES: Final = (
    *(DEVELOPERS, COMMANDS, JSON, KNOWLEDGE, AUTHORING, WORKBENCH, RULES, HOOKUP, BENCH, REASONING),
    *(CASE, MAIL, LOGS),
)

_FENCE: Final = re.compile(r"(?:^<!-- (?P<mark>[^\n]*?) -->\n)?^```(?P<lang>\w*)\n", re.MULTILINE)
_CODE: Final = re.compile(r"`([^`\n]+)`")


class Block(NamedTuple):
    """A fenced block: the comment on the line above it, its language, and its text."""

    mark: str
    lang: str
    text: str


def text_of(page: Path) -> str:
    return page.read_text(encoding="utf-8")


def blocks(text: str) -> list[Block]:
    """Every fenced code block of a page, or of a part of one, in its order."""
    found = []
    position = 0
    while (fence := _FENCE.search(text, position)) is not None:
        end = text.index("\n```", fence.end() - 1)
        body = text[fence.end() : end + 1]
        found.append(Block(fence["mark"] or "", fence["lang"], body))
        position = end + len("\n```")
    return found


def without_blocks(text: str) -> str:
    """The prose of a page: everything outside its fenced blocks."""
    return re.sub(r"^```.*?^```$", "", text, flags=re.MULTILINE | re.DOTALL)


def section(page: Path, heading: str) -> str:
    """What stands under a heading, as far as the next one of its level or above."""
    level = heading.index(" ")
    inside = fenced = False
    found: list[str] = []
    for line in text_of(page).splitlines(keepends=True):
        fenced ^= line.startswith("```")
        if inside and not fenced and re.match(rf"#{{1,{level}}} ", line):
            break
        if inside:
            found.append(line)
        inside = inside or line == f"{heading}\n"
    assert inside, f"{page.name} has no heading {heading!r}"
    return "".join(found)


def rows(text: str) -> list[list[str]]:
    """The cells of every table row in a text, without headers and rules."""
    found: list[list[str]] = []
    lines = text.splitlines()
    for number, line in enumerate(lines):
        if not line.startswith("|") or line.startswith("|-"):
            continue
        after = lines[number + 1] if number + 1 < len(lines) else ""
        if after.startswith("|-"):
            continue
        cells = re.split(r"(?<!\\)\|", line.strip().strip("|"))
        found.append([cell.strip().replace("\\|", "|") for cell in cells])
    return found


def code(cell: str) -> list[str]:
    """The texts between backticks."""
    return _CODE.findall(cell)


def gatepost_lines(text: str) -> list[str]:
    """Every command line in the shell blocks of a text that calls gatepost, joined and whole."""
    found = []
    for block in blocks(text):
        if block.lang == "sh":
            for line in block.text.replace("\\\n", " ").splitlines():
                if line.startswith("gatepost"):
                    found.append(" ".join(line.split()))
    return found
