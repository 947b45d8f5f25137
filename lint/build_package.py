"""The build: what is YAML in a checkout becomes JSON in an installation, the rules compiled."""

from __future__ import annotations

import json
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

from setuptools.command.build_py import build_py

ROOT = Path(__file__).parents[1]
PACKAGES = {"gonogo": "lint", "gonogo.rules": "rules", "gonogo.schemas": "schemas"}


class BuildPackage(build_py):  # type: ignore[misc]  # the library says no types
    """Copies the package, then puts what was read and compiled in the place of the YAML."""

    def run(self) -> None:
        """An editable installation reads the checkout and is left as it is."""
        super().run()
        if not self.editable_mode:
            open_checkout()
            compile_rules(Path(self.build_lib) / "gonogo")


def open_checkout() -> None:
    """Make `gonogo` the code of this checkout, whatever is installed."""
    for name, folder in PACKAGES.items():
        spec = spec_from_file_location(name, ROOT / folder / "__init__.py")
        assert spec is not None and spec.loader is not None
        sys.modules[name] = module_from_spec(spec)
        spec.loader.exec_module(sys.modules[name])


def compile_rules(package: Path) -> None:
    """Turn the YAML of a built package into JSON, by the code of this checkout."""
    from .documents.contents import read_yaml
    from .judgement.catalogue import compiled_rules
    from .judgement.catalogue_file import COMPILED, catalogue_text

    rules = package / "rules"
    (rules / f"{COMPILED}.json").write_text(catalogue_text(*compiled_rules()), "utf-8")
    for path in (*rules.glob("*.yaml"), *package.glob("tables/*.yaml")):
        data = read_yaml(path.name, path.read_bytes())
        path.with_suffix(".json").write_text(json.dumps(data, allow_nan=False), "utf-8")
    for path in (*rules.rglob("*.yaml"), *package.glob("tables/*.yaml")):
        path.unlink()
