"""`tallystick backup|restore|export`, on their own and beside a service that runs."""

import csv

import pytest
from typer.testing import CliRunner

from cli.main import app
from tests.benchmarks.load import Program


@pytest.fixture
def run(tmp_path):
    folder = tmp_path / "shop"

    def command(*words, code=0):
        result = CliRunner().invoke(app, [*map(str, words), "--data", str(folder)])
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        assert result.exit_code == code, (result.stdout, result.stderr)
        return result

    command.folder = folder
    return command


def add(run, millimetres):
    run("rack", "add", "--section", "SHS 40x40x3", "--length", f"{millimetres} mm")


def labels(run):
    return [line.split()[0] for line in run("rack").stdout.splitlines() if line.startswith("  D")]


def test_backup_change_restore(run, tmp_path):
    add(run, 1200)
    said = run("backup", tmp_path / "monday").stdout
    assert said.startswith(f"Backed up to {tmp_path / 'monday'}: 0 jobs, 1 bar, 0 works, ")
    assert said.endswith("; checked and sound.\n")
    add(run, 800)
    assert labels(run) == ["D1", "D2"]
    asked = run("restore", tmp_path / "monday", code=3)
    assert "say --yes" in asked.stderr
    assert labels(run) == ["D1", "D2"]
    said = run("restore", tmp_path / "monday", "--yes").stdout.splitlines()
    assert said[0].startswith("Restored: 0 jobs, 1 bar, 0 works")
    assert labels(run) == ["D1"]
    kept = said[1].removeprefix("What was there before is kept as ").removesuffix(".")
    run("restore", kept, "--yes")
    assert labels(run) == ["D1", "D2"]


def test_what_stands_in_the_way_is_said(run, tmp_path):
    assert "there is no store here yet" in run("backup", tmp_path / "monday", code=3).stderr
    assert not run.folder.exists()
    add(run, 1200)
    run("backup", tmp_path / "monday")
    assert "exists already; name another file, or say --replace" in run("backup", tmp_path / "monday", code=3).stderr
    run("backup", tmp_path / "monday", "--replace")
    (tmp_path / "letter").write_text("dear shop")
    assert "it isn't a database" in run("restore", tmp_path / "letter", "--yes", code=3).stderr
    assert "no such file" in run("restore", tmp_path / "gone", "--yes", code=3).stderr


def test_export_in_open_formats(run, tmp_path):
    add(run, 1200)
    said = run("export", tmp_path / "out").stdout
    assert "README.txt" in said
    with (tmp_path / "out" / "rack.csv").open(encoding="utf-8-sig", newline="") as file:
        assert [(row["label"], row["length"]) for row in csv.DictReader(file)] == [("D1", "1200 mm")]
    assert "isn't empty" in run("export", tmp_path / "out", code=3).stderr


def test_beside_a_service_that_runs(run, tmp_path):
    """Backup, export and the rack work meanwhile and see its changes; a restore waits until it has ended."""
    program = Program(run.folder)
    try:
        piece = {"section": "SHS 40x40x3", "length": "700 mm"}
        answer = program.client.post("/v1/rack", json={"bars": [piece]})
        assert answer.status_code == 201, answer.text
        assert labels(run) == ["D1"]
        add(run, 800)
        assert "1 bar" not in run("backup", tmp_path / "running").stdout
        run("export", tmp_path / "out")
        refused = run("restore", tmp_path / "running", "--yes", code=3)
        assert "end the service (Ctrl-C) and every other command first" in refused.stderr
        listed = program.client.get("/v1/rack").json()["bars"]
        assert [bar["name"] for bar in listed] == ["D2", "D1"]
    finally:
        program.stop()
    add(run, 900)
    run("restore", tmp_path / "running", "--yes")
    assert sorted(labels(run)) == ["D1", "D2"]
