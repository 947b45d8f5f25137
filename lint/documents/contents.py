"""What comes with gonogo as YAML: in a checkout the files themselves, in an installation as JSON.

The build (`setup.py`) writes the JSON and leaves the YAML out, so that nowhere both can disagree.
"""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from .error import Defect


def contents(package: str, name: str) -> Any:
    """What the file `NAME.yaml` of a package holds, however it came here."""
    built = built_text(package, name)
    if built is not None:
        return json.loads(built)
    file = f"{name}.yaml"
    return read_yaml(file, files(package).joinpath(file).read_bytes())


def built_text(package: str, name: str) -> str | None:
    """The JSON that the build has put into a package under a name; None in a checkout."""
    try:
        return files(package).joinpath(f"{name}.json").read_text("utf-8")
    except FileNotFoundError:
        return None


def read_yaml(file: str, text: bytes) -> Any:
    """What a text holds; what comes with gonogo is YAML, or gonogo has a defect."""
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    try:
        return YAML(typ="safe").load(text)
    except YAMLError as broken:
        raise Defect(file, str(broken)) from broken
