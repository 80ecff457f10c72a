"""`tallystick rack` and `plan --own-rack`: what people type, what they see, what they are told when it is wrong."""

import csv
import io
import json

import openpyxl
import pytest
from typer.testing import CliRunner

from cli.main import app
from shared.store.place import alone_with
from tests.clock import milliseconds


@pytest.fixture
def rack(tmp_path):
    folder = tmp_path / "shop"

    def run(*arguments, data="", code=0):
        words = ["rack", *map(str, arguments), "--data", str(folder)]
        result = CliRunner().invoke(app, words, input=data)
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        assert result.exit_code == code, (result.stdout, result.stderr)
        return result

    run.folder = folder
    return run


@pytest.fixture
def stocked(rack):
    rack("add", "--section", "SHS 2x2x1/8", "--length", "80 1/2", "--unit", "in", "--place", "bay 3", "--quantity", 2)
    rack("add", "--section", "SHS 40x40x3", "--length", "1200 mm", "--heat", "H1", "--remark", "=bent", "--who", "Anna")
    return rack


def names(result):
    return [bar["name"] for bar in json.loads(result.stdout)["bars"]]


def test_an_empty_rack_says_so(rack):
    assert rack().stdout == "Nothing is on the rack\n"
    assert rack("history").stdout == "Nothing happened yet\n"
    assert json.loads(rack("--json", "-").stdout) == {"bars": []}


def test_the_rack_by_section_in_each_pieces_own_unit(stocked):
    assert stocked().stdout == (
        "3 pieces, 3 free, 49.7 lb\n\n"
        "SHS 2x2x1/8: 2 pieces, 13.42 ft, 40.9 lb\n"
        "  label     length  place\n"
        "  D1     80 1/2 in  bay 3  free\n"
        "  D2     80 1/2 in  bay 3  free\n\n"
        "SHS 40x40x3: 1 piece, 4.0 kg\n"
        "  label   length        heat  remark\n"
        "  D3     1200 mm  free  H1    =bent\n"
    )  # 3.05 lb/ft (AISC) x 13.42 ft; 3.30 kg/m (EN 10219-2) x 1.2 m; both from memory
    assert "D1     2044.7 mm" in stocked("--unit", "mm").stdout


def test_only_some_sections_and_places(stocked):
    assert names(stocked("--json", "-", "--section", "shs 2X2")) == ["D1", "D2"]
    assert names(stocked("--json", "-", "--place", "BAY")) == ["D1", "D2"]
    assert names(stocked("--json", "-", "--place", "bay 4")) == []


def test_options_of_the_list_are_not_lost_in_front_of_a_command():
    result = CliRunner().invoke(app, ["rack", "--data", "elsewhere", "history"])
    assert result.exit_code == 2
    assert "write --data behind history" in result.stderr


def test_one_piece_with_everything(rack):
    said = rack(
        *("add", "--section", "SHS 2x2x1/8", "--material", "galvanised", "--length", "6' 8-1/2\"", "--place", "bay 3"),
        *("--first-end", "sawn", "--second-end", "1/4 in", "--remark", "bent", "--heat", "H4711"),
    ).stdout
    assert said == "1 piece put on the rack: D1.\nEntry 1; tallystick rack undo 1 takes it back.\n"
    (bar,) = json.loads(rack("--json", "-").stdout)["bars"]
    kept = {key: bar[key] for key in ("section", "material", "length", "trims", "place", "remark", "heat", "state")}
    assert kept == {
        "section": "SHS 2x2x1/8",
        "material": "galvanised",
        "length": "80 1/2 in",
        "trims": ["0 in", "1/4 in"],
        "place": "bay 3",
        "remark": "bent",
        "heat": "H4711",
        "state": "free",
    }


def test_all_that_is_wrong_with_one_piece_at_once(rack):
    said = rack("add", "--section", "pipe 1-1/4", "--length", "80", "--first-end", "sawn", code=3).stderr
    assert "3 problems" in said
    assert "--section: pipe 1-1/4\n" in said
    assert "write PIPE 1-1/4 sch 40 or PIPE 1-1/4 sch 80" in said
    assert "Write the unit behind it, such as 80 in or 80 mm" in said
    assert "--second-end\n" in said
    assert rack("history").stdout == "Nothing happened yet\n"


def test_a_list_and_options_are_not_mixed(rack, tmp_path):
    (tmp_path / "list.txt").write_text("2 SHS 2x2x1/8 80 in")
    rack("add", tmp_path / "list.txt", "--place", "bay 3", code=2)
    rack("add", code=2)


def test_a_messy_list_is_shown_and_asked_about(rack, tmp_path):
    (tmp_path / "list.txt").write_text("Bay 4:\n3 x L 2x2x1/4 6' 3\" drilled, heat A99\nSHS 40x40x3 1200 mm\n")
    result = rack("add", tmp_path / "list.txt", code=3)
    assert "  3 x L 2x2x1/4, 75 in, Bay 4, drilled, heat A99\n  SHS 40x40x3, 1200 mm, Bay 4\n" in result.stdout
    assert "nothing was changed; say --yes" in result.stderr
    assert rack().stdout == "Nothing is on the rack\n"
    assert "4 pieces put on the rack: D1, D2, D3, D4." in rack("add", tmp_path / "list.txt", "--yes").stdout
    assert "1 piece put on the rack: D5." in rack("add", "-", "--yes", data="SHS 40x40x3 900 mm").stdout


def test_open_lines_of_a_list_are_asked_and_nothing_is_added(rack, tmp_path):
    (tmp_path / "list.txt").write_text("SHS 40x40x3 1200 mm\nSHS 40x40x3 1.200 mm\nwhat is this 44\n")
    result = rack("add", tmp_path / "list.txt", "--yes", code=3)
    assert "1.200 is 1200 or 1.2?" in result.stdout + result.stderr
    assert rack().stdout == "Nothing is on the rack\n"


def test_correcting_a_piece(stocked):
    said = stocked("correct", "d1", "--length", "79 in", "--place", "", "--why", "measured").stdout
    assert said.startswith("D1 corrected: 2006.6 mm (79 in) instead of 2044.7 mm (80 1/2 in), no place (measured).")
    (bar,) = [bar for bar in json.loads(stocked("--json", "-").stdout)["bars"] if bar["name"] == "D1"]
    assert (bar["length"], bar["place"], bar["version"]) == ("79 in", "", 2)
    stocked("correct", "D3", "--material", "galvanised")
    assert "SHS 40x40x3 (galvanised)" in stocked().stdout
    assert "Nothing about D1 is different" in stocked("correct", "D1", "--length", "79 in", code=3).stderr
    assert "say what is different" in stocked("correct", "D1", code=2).stderr
    assert "There is no D9" in stocked("correct", "D9", "--place", "x", code=3).stderr
    assert "17 is no label" in stocked("correct", "17", "--place", "x", code=3).stderr


def test_scrap_lost_found_history_undo(stocked):
    stocked("scrap", "D2", "--why", "too short")
    stocked("lost", "D3")
    assert names(stocked("--json", "-")) == ["D1"]
    assert names(stocked("--json", "-", "--all")) == ["D1", "D2", "D3"]
    assert "D3  " in stocked("--all").stdout
    assert "lost" in stocked("--all").stdout
    stocked("found", "D3")
    history = stocked("history").stdout.splitlines()
    assert [line.split()[0] for line in history] == ["entry", "5", "4", "3", "2", "1"]
    assert "D2 scrapped (too short)." in history[3]
    assert "Anna" in history[4]
    entries = json.loads(stocked("history", "D3", "--json", "-").stdout)["entries"]
    assert [(entry["id"], entry["bars"]) for entry in entries] == [(5, ["D3"]), (4, ["D3"]), (2, ["D3"])]
    assert len(stocked("history", "--most", 2).stdout.splitlines()) == 3
    assert "say --yes" in stocked("undo", code=3).stderr
    assert "Taken back: D3 was found again." in stocked("undo", "--yes").stdout
    assert "Taken back: D2 scrapped" in stocked("undo", 3).stdout
    assert names(stocked("--json", "-")) == ["D1", "D2"]
    assert "[taken back by 7]" in stocked("history", "D2").stdout
    assert "taken back already" in stocked("undo", 3, code=3).stderr
    assert "no entry 99" in stocked("undo", 99, code=3).stderr


def test_nothing_to_take_back(rack):
    assert "there is nothing to take back" in rack("undo", "--yes", code=3).stderr


# -- lists --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["rack.csv", "rack.xlsx"])
def test_out_and_in_again_changes_nothing(stocked, tmp_path, name):
    stocked("export", tmp_path / name)
    assert stocked("import", tmp_path / name).stdout == "Nothing changes; 3 as the books have them.\n"
    stocked("export", tmp_path / "list.doc", code=2)


def test_another_shops_list_gets_new_labels(stocked, tmp_path):
    stocked("export", tmp_path / "rack.csv")
    said = stocked("import", tmp_path / "rack.csv", "--new-labels", "--yes").stdout
    assert "  new: SHS 40x40x3, 1200 mm, =bent, heat H1\n" in said
    assert "new: D4, D5, D6" in said
    assert names(stocked("--json", "-")) == ["D1", "D2", "D3", "D4", "D5", "D6"]


def test_changes_of_a_list_are_shown_then_made(stocked, tmp_path):
    stocked("export", tmp_path / "rack.csv")
    text = (tmp_path / "rack.csv").read_text(encoding="utf-8-sig").replace("D2,bay 3", "D2,bay 9")
    (tmp_path / "rack.csv").write_text(text)
    result = stocked("import", tmp_path / "rack.csv", code=3)
    assert result.stdout == "  D2: place bay 3 -> bay 9\n2 as the books have them.\n"
    assert "say --yes" in result.stderr
    stocked("import", tmp_path / "rack.csv", "--yes")
    assert names(stocked("--json", "-", "--place", "bay 9")) == ["D2"]
    result = stocked("import", tmp_path / "rack.csv", "--yes")
    assert result.stdout.startswith("Nothing changes")


def test_bad_rows_are_named_and_nothing_is_imported(stocked, tmp_path):
    (tmp_path / "rack.csv").write_text("label,length,place\nD1,79,bay 9\nD2,,bay 9\nD77,1 m,bay 9\n")
    said = stocked("import", tmp_path / "rack.csv", "--yes", code=3).stderr
    assert "3 problems" in said
    assert "row 2, length: 79" in said
    assert "row 3, length\n      how long is it? Write its length, such as 80 1/2 in" in said
    assert "row 4, label: D77" in said
    assert names(stocked("--json", "-", "--place", "bay 9")) == []


def test_taking_stock_on_paper_and_back(stocked, tmp_path):
    assert "bay 3\n[ ] ____________  D1     SHS 2x2x1/8  80 1/2 in" in stocked("count").stdout
    stocked("count", "--write", tmp_path / "list.txt", "--place", "bay")
    assert "D3" not in (tmp_path / "list.txt").read_text()
    stocked("count", "--write", tmp_path / "list.pdf")
    assert (tmp_path / "list.pdf").read_bytes().startswith(b"%PDF-")
    stocked("count", "--write", tmp_path / "list.xlsx")
    book = openpyxl.load_workbook(tmp_path / "list.xlsx")
    sheet = book.active
    heads = [cell.value for cell in sheet[1]]
    rows = {row[0].value: row for row in sheet.iter_rows(min_row=2)}
    rows["D1"][heads.index("there?")].value = "yes"
    rows["D2"][heads.index("measured")].value = 79
    rows["D3"][heads.index("there?")].value = "no"
    sheet.append(["", "floor", "SHS 40x40x3", "", "600 mm"])
    book.save(tmp_path / "filled.xlsx")
    asked = stocked("count", tmp_path / "filled.xlsx", code=3).stdout
    assert asked.splitlines() == [
        "  D3: not found (SHS 40x40x3, 1200 mm, =bent)",
        "  D2: 80 1/2 in -> 79 in",
        "  new: SHS 40x40x3, 600 mm, floor",
        "1 as the books have them.",
    ]
    said = stocked("count", tmp_path / "filled.xlsx", "--yes").stdout
    assert "Stock taken, 4 pieces looked at" in said
    assert set(names(stocked("--json", "-"))) == {"D1", "D2", "D4"}
    stocked("undo", "--yes")
    assert set(names(stocked("--json", "-"))) == {"D1", "D2", "D3"}
    stocked("count", tmp_path / "filled.xlsx", "--write", "x.csv", code=2)


def test_the_list_to_fill_in_as_csv(stocked, tmp_path):
    stocked("count", "--write", tmp_path / "list.csv")
    heads, *rows = csv.reader(io.StringIO((tmp_path / "list.csv").read_text(encoding="utf-8-sig")))
    assert heads[:7] == ["label", "place", "section", "material", "length", "there?", "measured"]
    assert [row[0] for row in rows] == ["D3", "D1", "D2"]
    said = stocked("count", tmp_path / "list.csv").stdout
    assert said == "Nothing changes; 3 not looked at.\n"


def test_labels(stocked, tmp_path):
    stocked("labels", tmp_path / "all.pdf")
    stocked("labels", tmp_path / "one.pdf", "D3", "--label-sheet", "a4-70x37", "--labels-used", 3)
    assert all((tmp_path / name).read_bytes().startswith(b"%PDF-") for name in ("all.pdf", "one.pdf"))
    assert "There is no D9" in stocked("labels", tmp_path / "x.pdf", "D9", code=3).stderr
    assert "must be below" in stocked("labels", tmp_path / "x.pdf", "--labels-used", 99, code=2).stderr
    assert not (tmp_path / "x.pdf").exists()
    assert "no piece" in stocked("labels", tmp_path / "x.pdf", "--place", "nowhere", code=3).stderr


# -- the database -------------------------------------------------------------------------------


def test_it_is_the_services_own_database(stocked):
    assert (stocked.folder / "store.sqlite3").exists()
    url = f"sqlite:///{stocked.folder / 'store.sqlite3'}"
    assert names(CliRunner().invoke(app, ["rack", "--json", "-", "--store", url])) == ["D1", "D2", "D3"]


def test_what_is_no_database_is_said(tmp_path):
    (tmp_path / "odd").mkdir()
    (tmp_path / "odd" / "store.sqlite3").write_text("a letter to somebody, and long enough to be one")
    result = CliRunner().invoke(app, ["rack", "--data", str(tmp_path / "odd")])
    assert result.exit_code == 3
    assert "can't open the shop's memory" in result.stderr
    result = CliRunner().invoke(app, ["rack", "--store", "nonsense"])
    assert result.exit_code == 3
    assert "is no URL of a database" in result.stderr


def test_not_while_it_is_being_restored(stocked):
    with alone_with(stocked.folder / "store.sqlite3"):
        assert "is just being restored" in stocked(code=3).stderr


def test_what_somebody_wrote_can_not_harm_a_terminal(stocked):
    stocked("correct", "D1", "--remark", "fine")
    from fractions import Fraction

    from shared.sections import understand
    from shared.store import ShopStore, open_database
    from shared.work.rack.bars import NewBar

    engine = open_database(f"sqlite:///{stocked.folder / 'store.sqlite3'}")
    ShopStore(engine, milliseconds).add_bars(
        [NewBar(section=understand("tube"), length=Fraction(1), remark="\x1b[31mred")], "x"
    )
    engine.dispose()
    assert "\x1b" not in stocked().stdout
    assert "\N{REPLACEMENT CHARACTER}[31mred" in stocked().stdout


# -- plan ---------------------------------------------------------------------------------------

JOB = """
unit = "in"
[saw]
kerf = "1/8"
end_trim = "1/4"
[[parts]]
section = "SHS 2x2x1/8"
length = "39 3/4"
quantity = 3
[[sticks]]
section = "SHS 2x2x1/8"
length = "20 ft"
"""


def plan(*arguments, data=""):
    result = CliRunner().invoke(app, ["plan", *map(str, arguments)], input=data)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def sticks(result):
    return sorted(cut["id"] for cut in json.loads(result.stdout)["cuts"])


def test_a_plan_takes_the_racks_pieces(stocked, tmp_path):
    (tmp_path / "job.toml").write_text(JOB)
    offered = ("--own-rack", "--data", stocked.folder, "--json", "-")
    assert sticks(plan(tmp_path / "job.toml", *offered)) == ["D1", "D2"]
    assert sticks(plan(tmp_path / "job.toml", "--json", "-")) == ["S1"]
    assert sticks(plan("-", *offered, data=JOB)) == ["D1", "D2"]
    stocked("scrap", "D1")
    assert "D1" not in sticks(plan(tmp_path / "job.toml", *offered))


def test_lists_take_the_racks_pieces_and_their_trim(stocked):
    lists = ("--parts", "-", "--kerf", "1/8", "--own-rack", "--data", stocked.folder)
    assert sticks(plan(*lists, "--json", "-", data="4 SHS 2x2x1/8 39 in")) == ["D1", "D2"]
    result = plan(*lists, "--end-trim", "2", data="4 SHS 2x2x1/8 40 in")
    assert result.exit_code == 4, "2 x 40 and a cut don't fit on 80 1/2 in once 2 in are trimmed off"


def test_a_saved_job_names_the_pieces_and_is_planned_with_them_again(stocked, tmp_path):
    (tmp_path / "job.toml").write_text(JOB)
    plan(tmp_path / "job.toml", "--own-rack", "--data", stocked.folder, "--save", tmp_path / "saved.toml")
    again = plan(tmp_path / "saved.toml", "--own-rack", "--data", stocked.folder, "--json", "-")
    assert sticks(again) == ["D1", "D2"]
    stocked("correct", "D1", "--length", "70 in")
    changed = plan(tmp_path / "saved.toml", "--own-rack", "--data", stocked.folder)
    assert changed.exit_code == 3
    assert "on the rack this is 70 in long, not 80 1/2 in" in changed.stderr


def test_where_the_rack_is_without_asking_for_it(stocked):
    result = plan("-", "--data", stocked.folder, data=JOB)
    assert result.exit_code == 2
    assert "say --own-rack" in result.stderr
