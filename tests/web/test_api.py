"""The answers of the server, and what it refuses."""

import base64
import io
import json
import zipfile
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from gridassay.encodings.rules import RULES
from gridassay.verify.proof.recheck import recheck
from gridassay.verify.web.app import make_app
from gridassay.verify.web.guard import LARGEST_BODY

FOUR = 'size = 4\ngivens = """\n1...\n...2\n..3.\n.4..\n"""\n'
CAGE = '\n[[rule]]\nkind = "cage"\ncells = "r1c2 r1c3"\nsum = 7\n'


@pytest.fixture(scope="module")
def client():
    with TestClient(make_app(), base_url="http://127.0.0.1:8035") as client:
        yield client


def ask(client, question, text, **more):
    response = client.post(f"/ask/{question}", json={"text": text, **more})
    assert response.status_code == 200, response.text
    last = response.text.splitlines()[-1]
    found = json.loads(last)
    return found.get("answer", found)


def test_a_look_gives_verdict_outline_and_picture(client):
    found = ask(client, "look", FOUR)
    assert found["verdict"]["verdict"] == "unique"
    assert found["rows"] == found["columns"] == 4
    assert {"cell": "r2c4", "symbol": "2"} in found["givens"]
    assert found["svg"].startswith("<svg")


def test_a_puzzle_line_is_a_puzzle_too(client):
    found = ask(client, "look", "1......2..3..4..")
    assert found["document"] is False
    assert found["verdict"]["verdict"] == "unique"


def test_what_is_switched_off_is_off_and_keeps_its_place(client):
    assert ask(client, "look", FOUR + CAGE)["verdict"]["verdict"] == "none"
    rule = "cage r1c2 r1c3"
    without = ask(client, "look", FOUR + CAGE, off={"rules": [rule]})
    assert without["verdict"]["verdict"] == "unique"
    assert without["rules"][0]["name"] == rule
    fewer = ask(client, "look", FOUR, off={"givens": ["r1c1"]})
    assert fewer["verdict"]["verdict"] == "multiple"
    assert len(fewer["givens"]) == 4


def test_a_conflict_is_named(client):
    found = ask(client, "conflict", FOUR.replace("1...", "1..1"))
    assert found["conflict"] == ["r1c1=1", "r1c4=1", "row 1"]


def test_errors_say_the_line(client):
    found = ask(client, "look", FOUR + '[[rule]]\nkind = "cage"\ncells = "r9c9"\n')
    assert found["line"] == 10
    assert "r9c9" in found["error"]


@pytest.mark.parametrize(
    ("question", "key"),
    [("clues", "irreducible"), ("kin", "canonical"), ("settle", "svg"), ("assay", "page")],
)
def test_examinations_answer(client, question, key):
    assert key in ask(client, question, FOUR, budget=5)


def test_a_route_has_a_picture_a_step_and_audits_sound(client):
    found = ask(client, "route", FOUR, budget=5)
    assert found["solved"]
    assert len(found["told"]) == len(found["steps"]) > 0
    assert all(one["svg"].startswith("<svg") for step in found["told"] for one in step["stages"])
    # What is seen, then what follows from it.
    assert all(len(step["stages"]) == 2 for step in found["told"])
    assert ask(client, "audit", FOUR, budget=5, steps=found["written"])["ok"]
    assert not ask(client, "audit", FOUR, budget=5, steps="r1c2 = 4")["ok"]


def test_a_certificate_rechecks(client):
    found = ask(client, "certify", FOUR, budget=5)
    data = base64.b64decode(found["zip"])
    assert "proof.lrat" in zipfile.ZipFile(io.BytesIO(data)).namelist()
    assert recheck(data).result == "passed"


@pytest.mark.parametrize(
    ("kind", "start"), [("svg", b"<svg"), ("png", b"\x89PNG"), ("pdf", b"%PDF")]
)
def test_pictures_to_keep(client, kind, start):
    found = ask(client, "draw", FOUR, format=kind)
    assert base64.b64decode(found["data"]).startswith(start)


def test_an_empty_grid_has_nothing_wrong_with_it(client):
    blank = ask(client, "look", "." * 16)
    assert "differing" not in blank["svg"]
    assert "differing" in ask(client, "look", "12..34..21..4...")["svg"]


def test_every_kind_is_offered_in_one_group(client):
    found = client.get("/rules").json()
    kinds = [kind for group in found["groups"] for kind in group["kinds"]]
    known = {name[5:] for name in found["schema"]["$defs"] if name.startswith("rule-")}
    assert len(kinds) == len(set(kinds))
    assert set(kinds) == known
    elsewhere = [g["kinds"] for g in found["groups"] if g["name"] == "From elsewhere"]
    assert not {kind for kinds in elsewhere for kind in kinds} & {*RULES}


def test_fields_are_told_in_words(client):
    marks = (
        '\n[[rule]]\nkind = "marks-complete"\nkinds = ["pair-sum", "double-pair"]\nsums = [5, 10]\n'
    )
    told = ask(client, "look", FOUR + marks)["rules"][0]["fields"]
    assert told == "kinds pair-sum and double-pair, sums 5 10"


def test_the_layer_of_a_rule_is_told_only_if_it_is_not_clear(client):
    water = '[[layer]]\nname = "water"\nkind = "shading"\nvalues = ["deep", "shallow"]\n'
    wind = water.replace("water", "wind")
    rules = (
        '[[rule]]\nkind = "no-square"\nlayer = "water"\n'
        '[[rule]]\nkind = "connected"\nlayer = "water"\nvalue = "deep"\n'
    )
    head = 'digits = "none"\nsize = 3\n'
    alone = ask(client, "look", head + water + rules)["rules"]
    assert [one["fields"] for one in alone] == ["", ""]
    beside = ask(client, "look", head + water + wind + rules)["rules"]
    assert [one["fields"] for one in beside] == ["layer water", "layer water"]


def test_shapes_are_drawn_and_told_in_words_not_in_code(client):
    text = (Path(__file__).parents[2] / "examples" / "patched-sail.toml").read_text()
    told = ask(client, "look", text)["rules"][0]
    assert told["pieces"]
    assert "<svg" in told["sample"]
    assert told["sample"].count("<rect") >= 20
    assert "#" not in f"{told['fields']} {told['called']} {told['text']}"
    assert "an L of four" in told["text"]


def test_a_text_reads_or_says_why_not(client):
    assert ask(client, "reads", FOUR + CAGE) == {}
    wrong = ask(client, "reads", FOUR + CAGE.replace("7", '"abc!"'))
    assert "sum: 'abc!'" in wrong["error"]


def test_a_long_question_stops_at_its_budget(client):
    # Shorter than anything takes, so that a quick machine does not answer after all.
    found = ask(client, "certify", "1" + "." * 624, budget=1e-9)
    assert "budget" in found["error"]


def test_examples_are_had_by_name_only(client):
    names = [one["name"] for one in client.get("/examples").json()]
    assert "harbour-lights.toml" in names
    assert "Harbour Lights" in client.get("/examples/harbour-lights.toml").text
    for path in ("README.md", "__init__.py", "..%2fpyproject.toml", "%2e%2e/pyproject.toml"):
        assert client.get(f"/examples/{path}").status_code == 404


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/..%2fapp.py",
        "/static/%2e%2e%2fapp.py",
        "/static/%2fetc%2fpasswd",
        "/static//etc/passwd",
        "/app.py",
        "/static/app.py",
    ],
)
def test_no_file_of_the_host_is_readable(client, path):
    response = client.get(path)
    assert response.status_code == 404
    assert "import" not in response.text


@pytest.mark.parametrize(
    "host", ["harbour.example", "harbour.example:8035", "127.0.0.1.example", "10.0.0.7", ""]
)
def test_other_names_are_refused(client, host):
    assert client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost:8035", "127.0.0.1:8035", "[::1]:8035"])
def test_own_names_are_not(client, host):
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://harbour.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "https://127.0.0.1:8035"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_other_origins_are_refused(client, headers):
    response = client.post("/ask/look", json={"text": FOUR}, headers=headers)
    assert response.status_code == 403


def test_a_link_to_the_page_may_stand_anywhere(client):
    headers = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    assert client.get("/", headers=headers | {"sec-fetch-dest": "document"}).status_code == 200
    assert client.get("/", headers=headers | {"sec-fetch-dest": "iframe"}).status_code == 403
    away = {**headers, "sec-fetch-dest": "document"}
    assert client.get("/static/main.js", headers=away).status_code == 403


def test_the_own_origin_is_not(client):
    headers = {"origin": "http://127.0.0.1:8035", "sec-fetch-site": "same-origin"}
    assert client.post("/ask/look", json={"text": FOUR}, headers=headers).status_code == 200


def test_a_form_of_another_page_cannot_ask(client):
    body = json.dumps({"text": FOUR})
    for kind in ("text/plain", "application/x-www-form-urlencoded", ""):
        response = client.post("/ask/look", content=body, headers={"content-type": kind})
        assert response.status_code == 400


def test_bodies_have_a_limit(client):
    large = {"text": "#" * LARGEST_BODY}
    assert client.post("/ask/look", json=large).status_code == 413

    def in_pieces():
        yield b'{"text": "'
        for _ in range(LARGEST_BODY // 1000 + 1):
            yield b"#" * 1000

    headers = {"content-type": "application/json"}
    assert client.post("/ask/look", content=in_pieces(), headers=headers).status_code == 413


def test_grids_have_a_limit(client):
    found = ask(client, "look", 'rows = 60\ncolumns = 60\nhouses = "none"\n')
    assert "up to 1225 cells" in found["error"]


@pytest.mark.parametrize(
    "body", ["[]", "3", "nonsense", '{"text": 3}', '{"text": "1", "off": 3}', "[" * 5000]
)
def test_bodies_that_are_no_question(client, body):
    headers = {"content-type": "application/json"}
    response = client.post("/ask/look", content=body, headers=headers)
    assert response.status_code == 400 or "error" in response.json()


@pytest.mark.parametrize("budget", [0, -1, 1e9, "10", None, True])
def test_a_budget_is_a_number_within_bounds(client, budget):
    assert "budget" in ask(client, "kin", FOUR, budget=budget)["error"]


def test_there_are_only_the_questions_that_there_are(client):
    assert client.post("/ask/eval", json={"text": FOUR}).status_code == 404
    assert client.get("/ask/look").status_code == 405


def test_every_answer_says_that_nothing_may_come_from_elsewhere(client):
    for response in (client.get("/"), client.get("/static/main.js"), client.get("/nowhere")):
        policy = response.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert response.headers["x-content-type-options"] == "nosniff"


def test_markup_in_a_puzzle_is_text_in_its_picture(client):
    rule = FOUR + '[[rule]]\nkind = "cage"\ncells = "r1c1"\nid = "<script>alert(1)</script>"\n'
    found = ask(client, "look", rule)
    assert "<script" not in found["svg"]
    assert found["rules"][0]["name"] == "<script>alert(1)</script>"


def test_a_slip_comes_with_the_edit_that_mends_it(client):
    found = ask(client, "mend", FOUR.replace("1...", "12..").replace(".4..", "24.."))
    assert found["verdict"] == "none"
    for slip, edit in zip(found["slips"], found["edits"], strict=True):
        told = " ".join(one["cell"] for one in edit["givens"])
        assert all(cell in slip["slip"] for cell in told.split())
    both = zip(found["slips"], found["edits"], strict=True)
    moved = next(edit for slip, edit in both if "belongs in" in slip["slip"])
    assert moved["givens"][0]["symbol"] == "."
    wrong = FOUR + CAGE
    (first, *_) = [e for e in ask(client, "mend", wrong)["edits"] if e["rules"]]
    ((number, values),) = [(one["number"], one["values"]) for one in first["rules"]]
    assert (number, values["kind"]) == (1, "cage")
    assert values["sum"] != 7 or values["cells"] != "r1c2 r1c3"


def test_mending_points_out_what_is_wrong_and_only_that(client):
    assert "svg" not in ask(client, "mend", FOUR, budget=5)
    broken = ask(client, "mend", FOUR.replace("1...", "1..1"), budget=5)
    assert broken["conflict"] == ["r1c1=1", "r1c4=1", "row 1"]
    assert 'class="ring' in broken["svg"]


def test_steps_are_handed_out_as_pictures_with_what_is_said_to_each(client):
    written = ask(client, "route", FOUR, budget=30)["written"]
    found = ask(client, "frames", FOUR, budget=30, steps=written)
    with zipfile.ZipFile(io.BytesIO(base64.b64decode(found["zip"]))) as archive:
        names = archive.namelist()
        assert names == [*(f"{n:03d}.png" for n in range(1, found["count"] + 1)), "cues.vtt"]
        assert archive.read("001.png").startswith(b"\x89PNG")
        assert archive.read("cues.vtt").decode().count("-->") == found["count"]


def test_a_picture_to_keep_shows_what_the_board_shows(client):
    def digits(**more):
        found = ask(client, "draw", FOUR, format="svg", **more)
        return base64.b64decode(found["data"]).decode().count('class="digit"')

    assert (digits(), digits(show="answer")) == (0, 12)


def test_kinds_are_told_with_a_picture_a_sentence_and_the_words_of_the_trade(client):
    told = client.get("/rules").json()["told"]
    assert told["thermometer"]["picture"].startswith("<svg")
    assert "thermo" in told["thermometer"]["words"]
    assert all(one["sentence"] for one in told.values())


LAYERED = """digits = "none"
size = 2

[[layer]]
name = "water"
kind = "shading"
values = ["deep", "shallow"]
givens = "d..s"

[[layer]]
name = "fence"
kind = "border-loop"
givens = ["not r1c1|r1c2", "r2c1|bottom"]
"""


def test_layers_are_in_the_outline_with_their_givens(client):
    found = ask(client, "look", LAYERED, off={"givens": ["water r1c1"]})
    assert found["givens"] == []
    water, fence = found["layers"]
    assert [(one["letter"], one["value"]) for one in water["values"]] == [
        ("d", "deep"),
        ("s", "shallow"),
    ]
    assert [(one["of"], one["value"]) for one in water["givens"]] == [
        ("water r1c1", "deep"),
        ("water r2c2", "shallow"),
    ]
    assert [(one["place"], one["value"], one["cells"]) for one in fence["givens"]] == [
        ("r1c1 r1c2", "off", ["r1c1", "r1c2"]),
        ("r2c1 bottom", "on", ["r2c1"]),
    ]
    # What is off is no longer given: two solutions may differ in it.
    assert found["verdict"]["verdict"] == "multiple"


def test_a_missing_mark_and_a_missing_total_say_what_to_write(client):
    dot = '[[rule]]\nkind = "consecutive-pair"\ncells = "r1c1 r1c2"\n'
    givens = 'size = 4\ngivens = """\n....\n3...\n2...\n...1\n"""\n'
    found = ask(client, "mend", givens + dot, budget=10)
    assert found["lacking"][0] == "add a white dot between r1c2 and r1c3"
    (added,) = found["lacking_edits"][0]["rules"]
    assert added["number"] is None
    assert (added["values"]["kind"], added["values"]["cells"]) == ("consecutive-pair", "r1c2 r1c3")
    cage = '[[rule]]\nkind = "cage"\ncells = "r1c2 r1c3"\n'
    found = ask(client, "mend", givens + dot + cage, budget=10)
    filled = [one["rules"][0] for one in found["lacking_edits"]]
    assert any(one["number"] == 2 and one["values"]["sum"] for one in filled)


def test_a_mend_of_layers_says_what_to_write(client):
    found = ask(
        client,
        "mend",
        LAYERED.replace(
            '[[layer]]\nname = "fence"',
            '[[rule]]\nkind = "connected"\nlayer = "water"\nvalue = "deep"\n\n[[layer]]\nname = "fence"',
        ),
        budget=10,
    )
    assert found["verdict"] == "multiple"
    written = [
        f"{one['layer']} {one['place']}={one['value']}" for one in found["repair_edit"]["layers"]
    ]
    assert len(written) == len(found["repair"])
    assert found["repair_edit"]["givens"] == []
