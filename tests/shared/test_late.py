"""Packages that import their modules when a name is first used hand out what they list, and nothing else."""

import importlib
import subprocess
import sys

import pytest

PACKAGES = ("shared.files.job", "shared.files.plan")


@pytest.mark.parametrize("name", PACKAGES)
def test_every_listed_name_is_there_and_comes_from_the_package(name: str) -> None:
    package = importlib.import_module(name)
    assert set(package.__all__) <= set(dir(package))
    for member in package.__all__:
        assert getattr(package, member).__module__.startswith(f"{name}."), member


@pytest.mark.parametrize("name", PACKAGES)
def test_another_name_is_refused_as_by_any_module(name: str) -> None:
    package = importlib.import_module(name)
    with pytest.raises(AttributeError, match=f"module '{name}' has no attribute 'nonsense'"):
        package.nonsense  # noqa: B018


@pytest.mark.parametrize("name", PACKAGES)
def test_the_package_alone_loads_none_of_its_modules(name: str) -> None:
    code = f"import sys, {name}\nassert not [each for each in sys.modules if each.startswith('{name}.')]"
    subprocess.run([sys.executable, "-c", code], check=True)
