"""The sample book, and site and PDF rendered once for all tests of this folder."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

from proposal.publish.pdf import render_pdf
from proposal.publish.site import render_site


def _load() -> ModuleType:
    name = "publish_sample_book"
    if name not in sys.modules:
        spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name("sample_book.py"))
        assert spec is not None
        assert spec.loader is not None
        sys.modules[name] = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])
    return sys.modules[name]


def put(files: dict[str, bytes], folder: Path) -> Path:
    for name, data in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


@pytest.fixture(scope="session")
def sample() -> ModuleType:
    return _load()


@pytest.fixture(scope="session")
def site(sample: ModuleType) -> dict[str, bytes]:
    return render_site(sample.BOOK, sample.DRAWINGS, {"results.json": b'{"a": 1}\n'}, images=sample.IMAGES)


@pytest.fixture(scope="session")
def hostile_site(sample: ModuleType) -> dict[str, bytes]:
    return render_site(sample.hostile()[0], sample.DRAWINGS, {}, images=sample.IMAGES)


@pytest.fixture(scope="session")
def pdf(sample: ModuleType) -> bytes:
    return render_pdf(sample.BOOK, sample.DRAWINGS, sample.IMAGES)


@pytest.fixture(scope="session")
def hostile_pdf(sample: ModuleType) -> bytes:
    return render_pdf(sample.hostile()[0], sample.DRAWINGS, sample.IMAGES)


@pytest.fixture(scope="session")
def site_folder(site: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return put(site, tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="session")
def hostile_folder(hostile_site: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    return put(hostile_site, tmp_path_factory.mktemp("hostile"))
