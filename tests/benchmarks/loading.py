"""Loading and validating all knowledge, against composing the same files with the C parser."""

from __future__ import annotations

from collections.abc import Iterator

import yaml

from expert.loading.folder import load, shipped_folder
from tests.benchmarks.figure import Figure
from tests.benchmarks.ratio import ratio, seconds


def figures() -> Iterator[Figure]:
    if not yaml.__with_libyaml__:
        raise SystemExit("PyYAML was built without its C parser, so there is nothing to compare.")
    folder = shipped_folder()
    files = [path for path in folder.rglob("*.yaml") if not path.name.endswith(".cases.yaml")]

    def compose() -> None:
        for path in files:
            yaml.compose(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)

    # The first load also makes the decoders of the model's types, once in a process.
    first_s = seconds(lambda: load([folder]))()
    found = ratio(seconds(lambda: load([folder])), seconds(compose), runs=15)
    size = sum(path.stat().st_size for path in files) / 1000
    note = f"{len(files)} files, {size:.0f} kB; first load in a process {first_s * 1e3:.0f} ms"
    yield found.figure("load all knowledge / yaml.compose with CSafeLoader", 2.5, note)
