"""Take out of the image's environment what no run needs, import everything of ours from the rest, and keep its byte code.

Run by the builder with the environment's own Python. Only files that a dependency's list of files names are taken out,
and that list is put right. Licences and lists of parts stay.
"""

import csv
import importlib
import importlib.util
import pkgutil
import py_compile
import sys
import sysconfig
from collections import Counter
from collections.abc import Iterator
from fnmatch import fnmatch
from importlib.metadata import Distribution, distributions
from pathlib import Path

PLACE = Path(sysconfig.get_path("purelib"))
OURS = "closeup-optics"
TAKEN_OUT = {
    "tests of dependencies": ("*/tests/*", "*/conftest.py", "numpy/_core/*_tests.*.so", "numpy/_core/_simd.*"),
    "headers, sources and libraries for compilers": (
        "*.h",
        "*.c",
        "*.pxd",
        "*.pyx",
        "*.a",
        "numpy/*/*.pc",
        "*/meson.build",
    ),
    "types for type checkers": ("*.pyi",),
    "numpy's wrapper of Fortran": ("numpy/f2py/*", "../../../bin/f2py", "../../../bin/numpy-config"),
    "coders of picture formats that are refused": (
        *("PIL/_avif.*", "PIL/_webp.*", "pillow.libs/libavif-*"),
        *(
            "pillow.libs/libwebp-*",
            "pillow.libs/libwebpmux-*",
            "pillow.libs/libwebpdemux-*",
            "pillow.libs/libsharpyuv-*",
        ),
    ),
}


def reason(name: str) -> str | None:
    """Why a file is taken out, or None when it stays."""
    if ".dist-info/" in name:
        return None
    return next((why for why, patterns in TAKEN_OUT.items() if any(fnmatch(name, one) for one in patterns)), None)


def put_right(record: Path, gone: set[str]) -> None:
    """Write a distribution's list of files anew, without those that are gone."""
    with record.open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.reader(file) if row[0] not in gone]
    with record.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def take_out(distribution: Distribution) -> Counter[str]:
    """Bytes taken out of a distribution, by reason."""
    taken: Counter[str] = Counter()
    gone = set()
    for name in map(str, distribution.files or ()):
        why, path = reason(name), PLACE / name
        if why is not None:
            taken[why] += path.stat().st_size
            path.unlink()
            gone.add(name)
    if gone:
        put_right(next(PLACE / str(name) for name in distribution.files or () if name.name == "RECORD"), gone)
    return taken


def remove_empty_folders() -> None:
    """Remove folders that hold nothing any more, deepest first."""
    for folder in sorted((path for path in PLACE.rglob("*") if path.is_dir()), reverse=True):
        if not any(folder.iterdir()):
            folder.rmdir()


def import_ours() -> None:
    """Import every module of the service and of the client, and the worker that serves: what is missing shows here."""
    importlib.import_module("gunicorn.workers.gthread")
    for package in ("closeup_service", "closeup_client"):
        path = importlib.import_module(package).__path__
        for module in pkgutil.walk_packages(path, f"{package}."):
            if not module.name.endswith("__main__"):
                importlib.import_module(module.name)


def imported_sources() -> Iterator[Path]:
    """Source files in the environment that this process has imported."""
    for module in list(sys.modules.values()):
        source = Path(getattr(module, "__file__", None) or "")
        if source.suffix == ".py" and PLACE in source.parents:
            yield source


def main() -> None:
    """Take out, import, compile; say how much each was."""
    taken: Counter[str] = Counter()
    for distribution in distributions(path=[str(PLACE)]):
        if distribution.name != OURS:
            taken += take_out(distribution)
    remove_empty_folders()
    import_ours()
    compiled = 0
    for source in sorted(imported_sources()):
        # The byte code states no date, so that the same sources give the same; nothing changes them in an image.
        py_compile.compile(str(source), doraise=True, invalidation_mode=py_compile.PycInvalidationMode.UNCHECKED_HASH)
        compiled += Path(importlib.util.cache_from_source(str(source))).stat().st_size
    for why, size in taken.most_common():
        print(f"taken out: {why}, {size / 1e6:.1f} MB")
    print(f"byte code of what is imported: {compiled / 1e6:.1f} MB")


if __name__ == "__main__":
    main()
