"""The documentation is tested: commands, options, exit codes, fields and examples."""

import re
import tomllib
from pathlib import Path

import pytest
import typer.main

from cli.exits import Code
from cli.main import app
from shared.files.job import JobFile, job_schema, read_job

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text()


def commands_of(group, before: str = ""):
    """Every command by its full name, those of groups and the groups themselves too."""
    found = {}
    for name, command in group.commands.items():
        found[f"{before}{name}"] = command
        if hasattr(command, "commands"):
            found |= commands_of(command, f"{before}{name} ")
    return found


COMMANDS = commands_of(typer.main.get_command(app))


def blocks(kind: str) -> list[str]:
    return re.findall(rf"```{kind}\n(.*?)```", README, re.DOTALL)


def test_there_are_commands() -> None:
    assert {"plan", "check", "schema", "rack", "rack add"} <= set(COMMANDS)


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_command_and_option_has_help_and_a_place_in_the_readme(name: str) -> None:
    command = COMMANDS[name]
    assert command.help
    assert f"tallystick {name}" in README
    for parameter in command.params:
        assert parameter.help, (name, parameter.name)
        for option in parameter.opts:
            if option.startswith("--") and option != "--help":
                assert re.search(rf"`{re.escape(option)}[ `]", README), (name, option)


def test_every_exit_code_is_explained() -> None:
    for code in Code:
        assert re.search(rf"^\| {code.value} \|", README, re.MULTILINE), code


def test_the_job_file_of_the_readme_is_one_and_shows_every_field() -> None:
    (text,) = blocks("toml")
    job, problems = read_job(text.encode(), name="job.toml")
    assert job is not None, problems
    table = tomllib.loads(text)
    for field in JobFile.model_fields:
        assert field in table
    schema = job_schema()
    for of, fields in {"the top": schema, **schema["$defs"]}.items():
        for field in fields["properties"]:
            assert re.search(rf"\b{field}\b", text), (of, field)


def test_the_library_example_runs(capsys: pytest.CaptureFixture[str]) -> None:
    (code,) = blocks("python")
    exec(compile(code, "README.md", "exec"), {})
    assert capsys.readouterr().out.startswith("optimal ")


def test_the_example_is_what_the_command_prints(capsys: pytest.CaptureFixture[str]) -> None:
    from typer.testing import CliRunner

    done = CliRunner(env={"COLUMNS": "110"}).invoke(app, ["plan", str(ROOT / "fixtures" / "market_stalls.toml")])
    (shown,) = blocks("text")[:1]
    assert done.stdout.startswith(shown.rstrip())
    assert capsys.readouterr().err == ""


def test_links_lead_somewhere() -> None:
    for document in ("README.md", "DEVELOPERS.md", "CHANGELOG.md"):
        for target in re.findall(r"\]\(([^)#:]+)\)", (ROOT / document).read_text()):
            assert (ROOT / target).exists(), (document, target)
