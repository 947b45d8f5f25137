"""What comes with gonogo as YAML: in a checkout the files themselves, in an installation as JSON.

The build (`build_package.py`) writes the JSON and leaves the YAML out, so that nowhere both can disagree.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pkgutil import get_data
from typing import TYPE_CHECKING, Any

from .error import Defect

if TYPE_CHECKING:
    from ruamel.yaml import YAML


def contents(package: str, name: str) -> Any:
    """What the file `NAME.yaml` of a package holds, however it came here."""
    built = built_text(package, name)
    if built is not None:
        return json.loads(built)
    file = f"{name}.yaml"
    return read_yaml(file, file_of(package, file))


def file_of(package: str, file: str) -> bytes:
    """A file as it lies beside a package's code; raises FileNotFoundError where there is none."""
    data = get_data(package, file)
    assert data is not None  # only of a package that lies nowhere
    return data


def built_text(package: str, name: str) -> str | None:
    """The JSON that the build has put into a package under a name; None in a checkout."""
    try:
        return file_of(package, f"{name}.json").decode()
    except FileNotFoundError:
        return None


def read_yaml(file: str, text: bytes) -> Any:
    """What a text holds; what comes with gonogo is YAML, or gonogo has a defect."""
    from ruamel.yaml.error import YAMLError

    try:
        return _reader().load(text)
    except YAMLError as broken:
        raise Defect(file, str(broken)) from broken


@lru_cache(maxsize=1)
def _reader() -> YAML:
    from ruamel.yaml import YAML  # late: an installation reads none of its own files so

    return YAML(typ="safe")
