"""Starting the service: what is refused, what is said, and what a kill -9 leaves behind."""

import stat
from pathlib import Path

import pytest
from typer.testing import CliRunner

from api.service.entrance import Entrance
from api.serving import Listening, RefusedError, _opening, settings_of
from cli.main import app
from tests.benchmarks.load import Program, crowd


def listening(folder: Path, **changes) -> Listening:
    return Listening(**{"host": "127.0.0.1", "port": 0, "folder": folder, **changes})


def test_a_network_is_only_let_in_with_a_password_or_a_word_that_says_what_it_means(tmp_path: Path) -> None:
    for host in ("0.0.0.0", "192.168.7.20", "::", "shop.example"):
        with pytest.raises(RefusedError, match="--open-to-anyone"):
            settings_of(listening(tmp_path, host=host))
        assert settings_of(listening(tmp_path, host=host, open_to_anyone=True)).password is None
        assert settings_of(listening(tmp_path, host=host, password="mild steel")).password == "mild steel"
    assert settings_of(listening(tmp_path)).password is None


@pytest.mark.parametrize("password", ["", "short", "é" * 12, "x" * 201, "tab\tinside it"])
def test_a_password_that_some_keyboard_or_program_can_t_send_is_refused(tmp_path: Path, password: str) -> None:
    with pytest.raises(RefusedError, match="a password has"):
        settings_of(listening(tmp_path, password=password))


def test_the_secret_is_made_once_and_is_its_owner_s(tmp_path: Path) -> None:
    first = settings_of(listening(tmp_path)).secret
    assert settings_of(listening(tmp_path)).secret == first
    assert len(first) == 32
    assert stat.S_IMODE((tmp_path / "secret").stat().st_mode) == 0o600


def test_the_code_to_scan_lets_a_phone_in(tmp_path: Path) -> None:
    settings = settings_of(listening(tmp_path, host="192.168.7.20", password="mild steel"))
    opening = _opening(listening(tmp_path, host="192.168.7.20", password="mild steel"), settings, 8765)
    home, code = opening.link.split("enter?code=")
    assert (home, opening.addresses) == ("http://192.168.7.20:8765/", ("http://192.168.7.20:8765/",))
    assert Entrance("mild steel", settings.secret).is_code(code)
    assert "█" in opening.code or "▀" in opening.code


def test_on_this_computer_alone_there_is_nothing_to_scan(tmp_path: Path) -> None:
    opening = _opening(listening(tmp_path), settings_of(listening(tmp_path)), 8765)
    assert (opening.addresses, opening.code) == (("http://127.0.0.1:8765/",), "")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--host", "0.0.0.0"], "--open-to-anyone"),
        (["--password-file", "nowhere"], "can't read the password from nowhere"),
        (["--store", "sqlite+pysqlite:////proc/none/store.sqlite3"], "can't open the store"),
        (["--host", "203.0.113.1", "--open-to-anyone"], "can't listen at 203.0.113.1"),
    ],
)
def test_a_start_that_can_t_be_says_why(tmp_path: Path, options: list[str], said: str) -> None:
    result = CliRunner().invoke(app, ["serve", "--port", "0", "--data", str(tmp_path / "data"), *options])
    assert (result.exit_code, said in result.output) == (3, True), result.output


@pytest.mark.kind(name="kill")
@pytest.mark.slow("a further kill, of the whole service among twenty clients")
def test_after_a_kill_9_in_the_middle_nothing_is_lost_and_nothing_twice(tmp_path: Path) -> None:
    program = Program(tmp_path / "data")
    try:
        found = crowd(program, 20, 5, kill=True)
        assert program.client.get("/healthz").status_code == 200
    finally:
        program.stop()
    assert found["states"] == {"done optimal": 20}
    assert (found["ids"], found["titles twice"]) == (20, 0)
    assert not [status for status in found["statuses"] if str(status).startswith("5")]
