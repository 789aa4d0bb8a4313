"""No file of the project names a folder of somebody's machine or the address of a package registry."""

import re
import subprocess
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parent.parent
HOMES = ["root", "home", "Users", "tmp", "work", "opt", "farm"]
MACHINE_PATH = re.compile(rf"(?<![\w.:/>])/(?:{'|'.join(HOMES)})/[\w.]")
REGISTRY = re.compile(r"\b(?:pypi|pythonhosted|npmjs|debian|anaconda)\.(?:org|com|net)\b", re.IGNORECASE)
INDEX_OPTION = re.compile(r"--(?:extra-)?index-url|--find-links|--trusted-host")
ADDRESS = re.compile(r"\bhttps?://|\bfile://")
# Files that decide what is fetched and from where: no address at all, so that they work behind any mirror.
WITHOUT_ADDRESSES = {"requirements.txt", "pyproject.toml", "Makefile", ".ci/run"}


def project_files() -> list[Path]:
    """Every text file that is, or would be, part of the project."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
            cwd=CHECKOUT,
            capture_output=True,
            text=True,
            check=True,
        )
    except (OSError, subprocess.CalledProcessError):
        pytest.skip("not a git checkout: which files belong to the project is not known")
    return [path for name in listed.stdout.split("\0") if name and (path := CHECKOUT / name).is_file()]


def faults(name: str, text: str) -> list[str]:
    said = []
    for number, line in enumerate(text.splitlines(), 1):
        if MACHINE_PATH.search(line):
            said.append(f"{name}:{number}: a folder of one machine")
        if REGISTRY.search(line):
            said.append(f"{name}:{number}: the address of a package registry")
        if name in WITHOUT_ADDRESSES and (
            ADDRESS.search(line) or (name == "requirements.txt" and INDEX_OPTION.search(line))
        ):
            said.append(f"{name}:{number}: an address")
    return said


def test_no_machine_paths_and_no_registry_addresses() -> None:
    said = []
    for path in project_files():
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue
        said += faults(path.relative_to(CHECKOUT).as_posix(), text)
    assert said == []


def test_every_pinned_version_has_a_hash() -> None:
    entries = re.split(r"\n(?=\S)", (CHECKOUT / "requirements.txt").read_text(encoding="utf-8").strip())
    assert entries
    assert [entry for entry in entries if "==" not in entry or "--hash=sha256:" not in entry] == []


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("notes.md", "see " + "/" + "home/somebody/kit.pdf"),
        ("rotorkit/x.py", 'open("' + "/" + 'tmp/x")'),
        ("notes.md", "files." + "pythonhosted" + ".org"),
        ("requirements.txt", "--index-url somewhere"),
        ("Makefile", "curl " + "https" + "://example.invalid"),
    ],
)
def test_the_check_itself_sees_each_fault(name: str, line: str) -> None:
    assert faults(name, line)
