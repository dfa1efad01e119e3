"""A machine that lacks a piece is told in one sentence which piece, and how to get it."""

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
NEEDED = ["cat", "cksum", "cut", "dirname", "grep", "mkdir", "rm", "tail", "uname"]
SHELL = shutil.which("dash") or "/bin/sh"

# Stands in for an interpreter: $1 is -c or -m, $2 the program or module.
PYTHON = """#!/bin/sh
case "$*" in
    *'%d.%d'*) echo {version} ;;
    *'sys.version_info <'*) exit {old} ;;
    *ensurepip*) exit {no_ensurepip} ;;
    *'-m venv'*) mkdir -p .venv/bin; cat "$0" > .venv/bin/python; chmod +x .venv/bin/python ;;
    *'pip --version'*) exit 0 ;;
    *'pip install'*) echo "{pip_says}" >&2; echo installed >> installs; exit {pip_fails} ;;
esac
"""
GOOD = {"version": "3.12", "old": 0, "no_ensurepip": 0, "pip_says": "", "pip_fails": 0}


class Machine:
    """A folder with a copy of the set-up and a search path that holds only what is put there."""

    def __init__(self, folder: Path) -> None:
        self.home, self.bin = folder / "house", folder / "bin"
        (self.home / "scripts").mkdir(parents=True)
        self.bin.mkdir()
        shutil.copy(ROOT / "scripts" / "setup.sh", self.home / "scripts")
        (self.home / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
        for name in [*NEEDED, "chmod", "pwd"]:
            if place := shutil.which(name):
                (self.bin / name).symlink_to(place)

    def put(self, name: str, text: str) -> None:
        file = self.bin / name
        file.write_text(text, encoding="utf-8")
        file.chmod(0o755)

    def python(self, name: str, **differs) -> None:
        self.put(name, PYTHON.format(**GOOD | differs))

    def apt(self, *packages: str) -> None:
        self.put("apt-get", "#!/bin/sh\n")
        listed = " | ".join(packages) or "none"
        self.put("apt-cache", f'#!/bin/sh\ncase "$2" in {listed}) exit 0 ;; esac\nexit 100\n')

    def set_up(self) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [SHELL, str(self.home / "scripts" / "setup.sh")],
            env={"PATH": str(self.bin)},
            capture_output=True,
            text=True,
            check=False,
        )

    def refusal(self) -> str:
        run = self.set_up()
        assert run.returncode == 1
        assert run.stderr.count("\n") == 1, run.stderr
        return run.stderr.removeprefix("Eavewell: ").strip()

    @property
    def installs(self) -> int:
        file = self.home / "installs"
        return file.read_text(encoding="utf-8").count("installed") if file.exists() else 0


@pytest.fixture
def machine(tmp_path):
    return Machine(tmp_path)


def test_debian_without_python(machine):
    machine.apt()
    said = "no Python 3.11 or newer found: sudo apt-get install python3-venv"
    assert machine.refusal() == said


def test_ubuntu_with_an_older_python(machine):
    machine.apt("python3.11-venv")
    machine.python("python3", version="3.10", old=1)
    assert machine.refusal() == (
        "no Python 3.11 or newer found (python3 here is 3.10): sudo apt-get install python3.11-venv"
    )


def test_mac_without_a_new_python(machine):
    (machine.bin / "uname").unlink()
    machine.put("uname", "#!/bin/sh\necho Darwin\n")
    assert "brew install python@3.13" in machine.refusal()


def test_debian_without_ensurepip(machine):
    machine.apt()
    machine.python("python3", version="3.11", no_ensurepip=1)
    assert machine.refusal() == (
        "python3 lacks its venv piece: sudo apt-get install python3.11-venv"
    )


def test_another_system_without_ensurepip(machine):
    machine.python("python3.13", version="3.13", no_ensurepip=1)
    assert "package python3-venv" in machine.refusal()


def test_a_whole_python_is_taken_before_a_newer_one_without_venv(machine):
    machine.python("python3.13", version="3.13", no_ensurepip=1)
    machine.python("python3.11", version="3.11")
    run = machine.set_up()
    assert run.returncode == 0, run.stderr
    assert "with python3.11 (3.11)" in run.stdout


def test_no_network(machine):
    machine.python("python3", pip_says="NewConnectionError: name resolution failed", pip_fails=1)
    assert "connect to the network" in machine.refusal()


def test_installs_again_only_when_pyproject_changed(machine):
    machine.python("python3")
    assert machine.set_up().returncode == 0
    second = machine.set_up()
    assert (second.returncode, second.stdout, machine.installs) == (0, "", 1)
    (machine.home / "pyproject.toml").write_text("[project]\nname = 'x'\n", encoding="utf-8")
    assert machine.set_up().returncode == 0
    assert machine.installs == 2


def test_a_moved_folder_is_set_up_afresh(machine):
    machine.python("python3")
    machine.set_up()
    machine.home = machine.home.rename(machine.home.with_name("moved"))
    assert "Making .venv" in machine.set_up().stdout
