"""Files, pasted tables and command lines of strangers: no fault, no hang, no wrong acceptance."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from tests.fuzz import (
    LONGEST_S,
    check_file,
    check_line,
    check_table,
    command_lines,
    in_time,
    inside,
    strange_files,
    strange_tables,
)

SHORT = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)


@SHORT
@given(strange_files())
def test_a_strange_file(content):
    _, took = in_time(check_file, content)
    assert took < LONGEST_S


@SHORT
@given(strange_tables())
def test_a_strange_table(text):
    _, took = in_time(check_table, text)
    assert took < LONGEST_S


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    with inside(tmp_path / "inside"):
        yield tmp_path


@SHORT
@given(line=command_lines())
def test_a_strange_command_line(line, folder):
    _, took = in_time(check_line, line)
    assert took < LONGEST_S
