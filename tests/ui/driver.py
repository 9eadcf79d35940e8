"""A dialogue on the small invented knowledge, for tests in a terminal of their own.

``python -m tests.ui.driver CASE [--plain] [--no-color]``
"""

from __future__ import annotations

import sys
from pathlib import Path

from expert.case.consult import Consultant
from expert.case.journal import Journal
from expert.errors import GatepostError
from expert.ui.choose import talker
from expert.ui.talk import run
from tests import small


def main(arguments: list[str]) -> int:
    knowledge = small.knowledge()
    color = False if "--no-color" in arguments else None
    try:
        with Journal.open(Path(arguments[0]), knowledge.digest) as journal:
            return run(Consultant(knowledge), journal, talker("--plain" in arguments, color))
    except GatepostError as error:
        print(error, file=sys.stderr)
        return error.exit_code


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
