"""What the outside checks need is installed where they are run for good."""

import tomllib
from pathlib import Path

import pytest

from tests.outside import references

TOP = Path(__file__).parents[2]


@pytest.mark.parametrize("word", ["1", "true", "True"])
def test_in_ci_a_missing_reference_package_is_an_error(
    monkeypatch: pytest.MonkeyPatch, word: str
) -> None:
    monkeypatch.setenv("CI", word)
    with pytest.raises(ModuleNotFoundError):
        references.package("no_such_reference")
    assert not references.needs_program("no-such-program").args[0]


def test_elsewhere_it_is_skipped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(pytest.skip.Exception):
        references.package("no_such_reference")
    assert references.needs_program("no-such-program").args[0]


def test_the_test_command_installs_every_reference_and_says_that_it_is_ci() -> None:
    extra = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = " ".join(extra["project"]["optional-dependencies"]["test"]).casefold()
    assert all(name in wanted for name in ("ht>=", "coolprop", "fluids"))
    script = (TOP / ".ci" / "run").read_text(encoding="utf-8")
    assert " ngspice" in script
    assert "export CI=true" in script
