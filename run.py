"""Set up and run traywright with nothing but Python 3.11 or newer.

python3 run.py demo [ARGS]       run the example job into build/demo (ARGS go to "traywright job")
python3 run.py test [ARGS]       run the tests and the examples in the documents (ARGS go to pytest)
python3 run.py check             everything that is asked of a change: style, types, walls, demo twice, tests
python3 run.py bench [NAME]      CPU seconds of whole stages at three sizes
python3 run.py campaign NAME [--share F] [--seed N]
                                 a large seeded run, or the share F of it; goes on where it stopped
python3 run.py pin               rewrite constraints.txt from a fresh environment

The first call makes .venv and installs the versions in constraints.txt. Later calls start at once.
"""

from __future__ import annotations

import filecmp
import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent
BUILD = ROOT / "build"
VENV = ROOT / ".venv"
CONSTRAINTS = ROOT / "constraints.txt"
ENQUIRY = Path("examples") / "survey_kit" / "enquiry.toml"
PICTURE = ROOT / "docs" / "demo.svg"
OLDEST = (3, 11)
TWO_FILES = ["--numprocesses=2", "--dist=loadfile"]
ONE_THREAD = dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "NUMBA_NUM_THREADS"), "1")
"""As in traywright.base.threads: a second thread of the linear algebra waits in a loop and changes last digits."""


# --- the environment -------------------------------------------------------------------------------------------


def python_of(venv: Path) -> Path:
    """The interpreter inside an environment, on any platform."""
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def call(*words: str | Path, **settings: str) -> int:
    """The exit code of a command that is shown first; it reads no standard input."""
    line = [str(word) for word in words]
    print("+", *line, file=sys.stderr, flush=True)
    sys.stdout.flush()
    return subprocess.run(line, cwd=ROOT, env=os.environ | settings, stdin=subprocess.DEVNULL, check=False).returncode


def aside(*words: str | Path, **settings: str) -> int:
    """The exit code of a command of the set-up; what it says goes to standard error."""
    line = [str(word) for word in words]
    print("+", *line, file=sys.stderr, flush=True)
    told = os.environ | settings
    return subprocess.run(line, cwd=ROOT, env=told, stdin=subprocess.DEVNULL, stdout=sys.stderr, check=False).returncode


def must(*words: str | Path, **settings: str) -> None:
    """Nothing; the script ends here if the command of the set-up fails."""
    code = aside(*words, **settings)
    if code:
        sys.exit(code)


def works(*words: str | Path) -> bool:
    """Whether a command ends well; it says nothing."""
    return subprocess.run([str(word) for word in words], check=False, capture_output=True).returncode == 0


def has_venv() -> bool:
    """Whether this Python can make an environment (Debian ships that part as a package of its own)."""
    return works(sys.executable, "-c", "import ensurepip, venv")


def provide_venv() -> None:
    """Nothing; afterwards this Python can make an environment, or the script ended with the line to type."""
    if has_venv():
        return
    package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    apt = shutil.which("apt-get")
    if apt and hasattr(os, "geteuid") and os.geteuid() == 0:
        quiet = {"DEBIAN_FRONTEND": "noninteractive"}
        aside(apt, "update", "-qq", **quiet)
        aside(apt, "install", "-y", "-qq", "--no-install-recommends", package, **quiet)
        if has_venv():
            return
    sys.exit(f"This Python cannot make an environment. Please type:  sudo apt-get install {package}")


def wanted(extra: str) -> str:
    """A fingerprint of everything that decides what is installed."""
    told = [sys.version.encode(), extra.encode(), (ROOT / "pyproject.toml").read_bytes(), CONSTRAINTS.read_bytes()]
    return hashlib.sha256(b"\0".join(told)).hexdigest()


def install(venv: Path, extra: str, constraints: Path | None) -> None:
    """Nothing; afterwards the project stands in the environment, with the pinned versions if asked."""
    python = python_of(venv)
    if not python.exists() or not works(python, "-m", "pip", "--version"):
        provide_venv()
        must(sys.executable, "-m", "venv", venv)
    # The two settings hand the pins to the build tool too, which pip installs apart; older and newer pip
    # read one of them each.
    pins = {"PIP_CONSTRAINT": str(constraints), "PIP_BUILD_CONSTRAINT": str(constraints)} if constraints else {}
    words = ["-c", str(constraints)] if constraints else []
    project = f".[{extra}]" if extra else "."
    must(python, "-m", "pip", "install", "-q", "--disable-pip-version-check", *words, "-e", project, **pins)


def ready(extra: str = "") -> Path:
    """The interpreter of .venv, with the project installed; a second call does nothing."""
    stamps = {name: VENV / f".stamp-{name or 'base'}" for name in ("", "dev")}
    # an environment with the tools of development serves the demo as well
    for name in {extra, "dev"}:
        if stamps[name].exists() and stamps[name].read_text(encoding="utf-8") == wanted(name):
            return python_of(VENV)
    install(VENV, extra, CONSTRAINTS)
    stamps[extra].write_text(wanted(extra), encoding="utf-8")
    return python_of(VENV)


# --- the verbs -------------------------------------------------------------------------------------------------


def job(python: Path, out: Path, *words: str, **settings: str) -> int:
    """The exit code of the example job, written into a folder."""
    return call(python, "-m", "traywright", "job", ENQUIRY, "--out", out, *words, **settings)


def demo(words: list[str]) -> int:
    """The exit code of the example job; its picture is copied beside the documents."""
    python = ready()
    out = BUILD / "demo"
    code = job(python, out, *words)
    drawn = out / "papers" / "overview.svg"
    if code == 0 and drawn.exists():
        PICTURE.write_bytes(drawn.read_bytes())
    return code


def test(words: list[str]) -> int:
    """The exit code of the tests, with the examples in docstrings and documents; all of them two files at a time."""
    return call(ready("dev"), "-m", "pytest", *(words or TWO_FILES), **ONE_THREAD)


def kernels(python: Path) -> int:
    """The exit code of the tests of compiled loops with every index checked."""
    # A cache of its own: numba does not see this setting when it takes compiled code from its cache.
    cache = str(BUILD / "numba-boundscheck")
    words = ["-m", "kernels", "-p", "no:cacheprovider", "tests"]
    return call(python, "-m", "pytest", "-q", *words, NUMBA_BOUNDSCHECK="1", NUMBA_CACHE_DIR=cache, **ONE_THREAD)


def unlike(one: Path, other: Path) -> Iterator[str]:
    """Names of the files that are not the same bytes in two folders, or stand in one only."""
    names = {file.relative_to(top) for top in (one, other) for file in top.rglob("*") if file.is_file()}
    for name in sorted(names):
        left, right = one / name, other / name
        if not (left.exists() and right.exists() and filecmp.cmp(left, right, shallow=False)):
            yield name.as_posix()


def demo_repeats(python: Path) -> int:
    """0 if the example job writes the same bytes with one worker and with two."""
    outs = [BUILD / "check" / f"workers-{workers}" for workers in (1, 2)]
    for workers, out in enumerate(outs, start=1):
        shutil.rmtree(out, ignore_errors=True)
        # another seed for the order of sets as well: nothing may hang on it
        code = job(python, out, "--workers", str(workers), PYTHONHASHSEED=str(workers))
        if code:
            return code
    faults = list(unlike(*outs))
    drawn = outs[0] / "papers" / "overview.svg"
    if drawn.exists() and not (PICTURE.exists() and filecmp.cmp(drawn, PICTURE, shallow=False)):
        faults.append("docs/demo.svg is older than the demo: python3 run.py demo writes it anew")
    for fault in faults:
        print("not the same:", fault, file=sys.stderr)
    print("demo with 1 and 2 workers:", "differs" if faults else "same bytes", file=sys.stderr)
    return int(bool(faults))


def check() -> int:
    """0 if everything holds. Each step runs even if an earlier one failed; pytest's closing line comes last."""
    os.environ["CI"] = "true"
    python = ready("dev")
    lint_imports = python.with_name("lint-imports.exe" if os.name == "nt" else "lint-imports")
    codes = {
        "ruff check": call(python, "-m", "ruff", "check", "."),
        "ruff format": call(python, "-m", "ruff", "format", "--check", "."),
        "mypy": call(python, "-m", "mypy", "--strict", "src"),
        "lint-imports": call(lint_imports, "--no-logo"),
        "kernels with index check": kernels(python),
        "demo twice": demo_repeats(python),
    }
    failed = [name for name, code in codes.items() if code]
    print("before the tests:", f"FAILED: {', '.join(failed)}" if failed else "all held", file=sys.stderr)
    code = test([])
    return code or int(bool(failed))


def bench(words: list[str]) -> int:
    """The exit code of the timing of whole stages."""
    return call(ready("dev"), ROOT / "benchmarks" / "measure.py", *words, **ONE_THREAD)


def campaign(words: list[str]) -> int:
    """The exit code of a large seeded run."""
    return call(ready("dev"), ROOT / "campaigns" / "runner.py", *words, **ONE_THREAD)


def pin() -> int:
    """0 once constraints.txt holds the versions of a fresh environment."""
    venv = BUILD / "pin"
    shutil.rmtree(venv, ignore_errors=True)
    install(venv, "dev", None)
    words = [str(python_of(venv)), "-m", "pip", "freeze", "--exclude-editable", "--disable-pip-version-check"]
    told = subprocess.run(words, check=True, capture_output=True, text=True, stdin=subprocess.DEVNULL).stdout
    pins = sorted((line for line in told.splitlines() if "==" in line), key=lambda line: line.split("==")[0].lower())
    CONSTRAINTS.write_text("\n".join(pins) + "\n", encoding="utf-8", newline="\n")
    shutil.rmtree(venv)
    return 0


def main(words: list[str]) -> int:
    """The exit code of one verb."""
    if sys.version_info < OLDEST:
        sys.exit(f"Python {OLDEST[0]}.{OLDEST[1]} or newer is needed; this is {sys.version.split()[0]}")
    verb, rest = (words[0] if words else "--help"), words[1:]
    with_words = {"demo": demo, "test": test, "bench": bench, "campaign": campaign}
    alone = {"check": check, "pin": pin}
    if verb in with_words:
        return with_words[verb](rest)
    if verb in alone and not rest:
        return alone[verb]()
    print(__doc__)
    return 0 if verb in {"--help", "-h", "help"} else 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
