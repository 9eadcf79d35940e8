"""A git repository for tests, untouched by the configuration of whoever runs them."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

ENVIRON = {
    **{name: value for name, value in os.environ.items() if not name.startswith("GIT_")},
    "GIT_CONFIG_GLOBAL": os.devnull,
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_AUTHOR_NAME": "Nobody",
    "GIT_AUTHOR_EMAIL": "nobody@example.invalid",
    "GIT_COMMITTER_NAME": "Nobody",
    "GIT_COMMITTER_EMAIL": "nobody@example.invalid",
}


def git(folder: Path, *arguments: str) -> str:
    """Run git in a folder and return what it prints."""
    done = subprocess.run(
        ["git", *arguments],
        cwd=folder,
        env=ENVIRON,
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return done.stdout


def commit(folder: Path, message: str = "one step") -> None:
    """Commit all that is in a folder, which becomes a repository with the branch main."""
    if not (folder / ".git").exists():
        git(folder, "-c", "init.defaultBranch=main", "init", "--quiet")
        # A check-out must be what was written, on every system.
        git(folder, "config", "core.autocrlf", "false")
    git(folder, "add", "--all", "--force")
    git(folder, "commit", "--quiet", "--allow-empty", "-m", message)
