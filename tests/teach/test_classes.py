"""A class of twenty, made, answered with planted slips, and marked: nothing that came back is run."""

import csv
import json
import os
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from rotorkit.cli import app
from rotorkit.dossier.blocks import Heading, Paragraph, Together
from rotorkit.dossier.class_set import class_documents
from rotorkit.dossier.pdf import pdf_of
from rotorkit.edges import clock
from rotorkit.teach.classes import (
    ANSWERS_FILE,
    MARKS_FILE,
    USUAL,
    ClassError,
    ClassSet,
    answers_in,
    make_class,
    mark_class,
    questions_of,
    read_class,
)


def given(made: ClassSet, student: str, question: str) -> dict[str, float]:
    """A question's numbers, as they stand in it."""
    numbers = made.posed(student, question).given
    return {name: float(re.sub(r"[^\d.+-].*$", "", text.replace(",", ""))) for name, text in numbers.items()}


def worked(made: ClassSet, student: str, question: str, slip: str = "") -> str:
    """The answer by plain arithmetic, with a slip in it where one is named."""
    n = given(made, student, question)
    match question:
        case "blade_angles.less_the_reference":
            return f"{n['reading'] + n['reference'] * (1 if slip == 'sign' else -1):.1f} deg"
        case "pitch_rigging.turns_of_the_link":
            turns = n["length_change"] / n["length_per_turn"]
            return f"{1 / turns if slip == 'upside down' else turns:#.3g}"
        case "cable_tension.carried":
            warmer = (n["wanted_at"] - n["measured_at"]) * (-1 if slip == "wrong way" else 1)
            return f"{n['tension'] + n['slope'] * warmer:#.4g} lb"
        case "shaft_speeds.behind_a_pulley":
            kept = 1 if slip == "left out" else 1 - n["slip"] / 100
            return f"{n['driver_speed'] * n['driver_diameter'] / n['driven_diameter'] * kept:#.4g} rpm"
        case "hover_margin.tip_speed":
            return f"{n['rotor_speed'] * 0.10471976 * n['rotor_radius'] * (2 if slip == 'diameter' else 1):#.4g} ft/s"
        case "near_a_limit.highest":
            return f"{n['limit'] - n['uncertainty'] * (-1 if slip == 'sign' else 1):.2f} deg"
    raise AssertionError(question)


PLANTED = {
    "blade_angles.less_the_reference": "sign",
    "pitch_rigging.turns_of_the_link": "upside down",
    "cable_tension.carried": "wrong way",
    "hover_margin.tip_speed": "diameter",
}


def fill_in(path: Path, answers: dict[int, str]) -> None:
    notebook = json.loads(path.read_text(encoding="utf-8"))
    for cell in notebook["cells"]:
        for number, text in answers.items():
            if cell["source"] == [f'answer_{number} = ""']:
                cell["source"] = [f"answer_{number} = {json.dumps(text)}"]
    path.write_text(json.dumps(notebook), encoding="utf-8")


def test_a_class_of_twenty_is_marked_and_the_planted_slips_are_found(tmp_path: Path) -> None:
    made = make_class(tmp_path / "class", 20, "spring")
    assert read_class(tmp_path / "class") == made
    planted: Counter[str] = Counter()
    right = 0
    for place, student in enumerate(made.students):
        answers = {}
        for number, question in enumerate(made.questions, 1):
            slip = PLANTED.get(question, "") if (place + number) % 4 == 0 else ""
            planted[question] += bool(slip)
            right += not slip
            answers[number] = worked(made, student, question, slip)
        fill_in(tmp_path / "class" / "notebooks" / f"{student}.ipynb", answers)
    marked = mark_class(tmp_path / "class")
    assert not marked.remarks
    assert len(marked.answers) == 20 * len(made.questions)
    for one in marked.answers:
        assert one.mark is not None
        number, place = one.number, made.students.index(one.student)
        slipped = one.posed.name in PLANTED and (place + number) % 4 == 0
        assert one.mark.right is not slipped, (one.student, one.posed.name, one.typed, one.mark)
    assert sum(one.mark is not None and one.mark.right for one in marked.answers) == right
    found = {posed.name: given - got for posed, got, given in marked.hardest}
    assert found == {name: planted[name] for name in made.questions}
    named = [
        one for one in marked.answers
        if one.mark is not None and not one.mark.right and PLANTED[one.posed.name] in one.mark.families
    ]  # fmt: skip
    assert len(named) >= 0.9 * sum(planted.values())
    told = marked.table()
    assert "To teach again" in told
    assert " x diameter, such as: " in told
    assert "diameter" in told
    rows = list(csv.reader((tmp_path / "class" / MARKS_FILE).read_text(encoding="utf-8").splitlines()))
    assert len(rows) == 1 + 20 * len(made.questions)


def test_every_student_has_numbers_of_their_own_and_no_file_of_theirs_an_answer(tmp_path: Path) -> None:
    made = make_class(tmp_path / "class", 4, "7", ["signs", "hover_margin.disk_area"])
    assert len(made.questions) == 4
    texts = [(tmp_path / "class" / "notebooks" / f"{student}.ipynb").read_text("utf-8") for student in made.students]
    assert len(set(texts)) == 4
    for student, text in zip(made.students, texts, strict=True):
        for question in made.questions:
            posed = made.posed(student, question)
            assert json.dumps(posed.question, ensure_ascii=False)[1:-1] in text
            assert posed.answer_text not in text
    again = make_class(tmp_path / "again", 4, "7", ["signs", "hover_margin.disk_area"])
    assert again == made


def test_nothing_that_came_back_is_run_and_odd_files_are_remarked(tmp_path: Path) -> None:
    folder = tmp_path / "class"
    made = make_class(folder, 3, "9")
    trap = tmp_path / "trap"
    first = folder / "notebooks" / "student-01.ipynb"
    notebook: dict[str, Any] = json.loads(first.read_text(encoding="utf-8"))
    notebook["cells"][2]["source"] = [f"answer_1 = open({str(trap)!r}, 'w')\n", "import os"]
    notebook["cells"][4]["source"] = ["answer_2 = 1.29 turns"]
    first.write_text(json.dumps(notebook), encoding="utf-8")
    (folder / "stranger.ipynb").write_text("{}", encoding="utf-8")
    (folder / "broken.ipynb").write_text("{", encoding="utf-8")
    other = json.loads((folder / "notebooks" / "student-02.ipynb").read_text(encoding="utf-8"))
    other["metadata"]["rotorkit_class"]["mark"] = "0" * 24
    other["cells"][1]["source"] = ["another question"]
    (folder / "of last year.ipynb").write_text(json.dumps(other), encoding="utf-8")
    copy = folder / "student-03 (1).ipynb"
    copy.write_text((folder / "notebooks" / "student-03.ipynb").read_text(encoding="utf-8"), encoding="utf-8")
    fill_in(copy, {1: worked(made, "student-03", USUAL[0])})
    fill_in(folder / "notebooks" / "student-03.ipynb", {1: "1 deg"})
    os.utime(folder / "notebooks" / "student-03.ipynb", (1, 1))
    rows = list(csv.reader((folder / ANSWERS_FILE).read_text(encoding="utf-8").splitlines()))
    rows[2][1] = "=1+1"
    rows.append(["nobody", "3"])
    with (folder / ANSWERS_FILE).open("w", newline="") as out:
        csv.writer(out).writerows(rows)
    marked = mark_class(folder)
    assert not trap.exists()
    by = {(one.student, one.number): one for one in marked.answers}
    assert by["student-01", 1].mark is not None
    assert not by["student-01", 1].mark.right
    assert by["student-01", 2].typed == "1.29 turns"
    assert by["student-03", 1].mark is not None
    assert by["student-03", 1].mark.right
    said = " ".join(marked.remarks)
    for word in (
        "stranger.ipynb: not",
        "broken.ipynb: not",
        "of last year.ipynb: of another",
        "student-03, question 1",
        "'nobody'",
    ):
        assert word in said
    assert "'=1+1" in (folder / MARKS_FILE).read_text(encoding="utf-8")


def test_what_cannot_be_made_or_marked_is_said(tmp_path: Path) -> None:
    for students in (0, 201, -1):
        with pytest.raises(ClassError, match="1 to 200"):
            make_class(tmp_path / "a", students, "1")
    with pytest.raises(ClassError, match="called 'x'"):
        questions_of(["x"])
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "file").touch()
    with pytest.raises(ClassError, match="not empty"):
        make_class(tmp_path / "full", 1, "1")
    with pytest.raises(ClassError, match=r"no class\.json"):
        mark_class(tmp_path / "full")
    (tmp_path / "full" / "class.json").write_text("[]")
    with pytest.raises(ClassError, match="cannot be read"):
        mark_class(tmp_path / "full")


def test_answers_are_read_from_odd_cells() -> None:
    def cells(*sources: str) -> dict[str, Any]:
        return {"cells": [{"cell_type": "code", "source": [one]} for one in sources]}

    assert answers_in(cells('answer_1 = "9.5 deg"')) == {1: "9.5 deg"}
    assert answers_in(cells("answer_2 = '9.5 deg'  # I think")) == {2: "9.5 deg"}
    assert answers_in(cells("answer_3 = 9.5 deg")) == {3: "9.5 deg"}
    assert answers_in(cells("answer_4 = 9.5")) == {4: "9.5"}
    assert answers_in(cells("answer_5 =", "x = 1")) == {5: ""}
    assert answers_in(cells("answer_6 = “9.5 deg”")) == {6: "9.5 deg"}
    assert answers_in(cells('answer_7 = "9.5 deg";')) == {7: "9.5 deg"}


def test_the_key_does_not_follow_from_what_a_student_has(tmp_path: Path) -> None:
    """Neither seed nor secret nor an exercise's name stands in a notebook or on the question sheets."""
    made = make_class(tmp_path / "class", 3, "a seed of my own")
    kept = json.loads((tmp_path / "class" / "class.json").read_text("utf-8"))
    assert len(kept["secret"]) == 32
    for student in made.students:
        text = (tmp_path / "class" / "notebooks" / f"{student}.ipynb").read_text("utf-8")
        for hidden in (made.seed, kept["secret"], *made.questions, *(made.mark_of(one) for one in made.students)):
            assert (hidden in text) is (hidden == made.mark_of(student)), hidden
    sheets, key = class_documents(made, clock.now())
    assert made.seed not in repr(sheets)
    assert made.seed in repr(key)
    assert make_class(tmp_path / "again", 3, "a seed of my own").mark_of("student-01") != made.mark_of("student-01")
    assert len(make_class(tmp_path / "chance", 1, " ").seed) == 32, "an empty seed could be guessed"


def test_a_class_of_an_earlier_version_and_one_made_again_are_marked(tmp_path: Path) -> None:
    old = tmp_path / "old"
    made = make_class(old, 2, "9", [USUAL[4]])
    said = {"students": list(made.students), "questions": list(made.questions), "seed": "9"}
    (old / "class.json").write_text(json.dumps(said))
    for student in made.students:
        path = old / "notebooks" / f"{student}.ipynb"
        notebook = json.loads(path.read_text("utf-8"))
        notebook["metadata"]["rotorkit_class"] = {"student": student, "seed": "9", "questions": list(made.questions)}
        path.write_text(json.dumps(notebook))
        fill_in(path, {1: worked(made, student, USUAL[4])})
    marked = mark_class(old)
    assert not marked.remarks
    assert all(one.mark is not None and one.mark.right for one in marked.answers)
    again = tmp_path / "again"
    make_class(again, 2, "9", [USUAL[4]])  # class.json was lost, the seed was not
    lost = make_class(tmp_path / "lost", 2, "9", [USUAL[4]])
    for student in lost.students:
        path = tmp_path / "lost" / "notebooks" / f"{student}.ipynb"
        fill_in(path, {1: worked(lost, student, USUAL[4])})
        (again / "notebooks" / f"{student}.ipynb").write_bytes(path.read_bytes())
    assert all(one.mark is not None and one.mark.right for one in mark_class(again).answers)


def test_what_was_asked_is_marked_though_the_draw_has_changed(tmp_path: Path) -> None:
    folder = tmp_path / "class"
    make_class(folder, 1, "9", [USUAL[4]])
    kept = json.loads((folder / "class.json").read_text("utf-8"))
    kept["numbers"]["student-01"][0] = {"rotor_speed": "400 rpm", "rotor_radius": "12.0 ft"}  # 502.65 ft/s
    (folder / "class.json").write_text(json.dumps(kept))
    fill_in(folder / "notebooks" / "student-01.ipynb", {1: "503 ft/s"})
    (answer,) = mark_class(folder).answers
    assert answer.mark is not None
    assert answer.mark.right
    kept["numbers"]["student-01"][0] = {"rotor_speed": "400 rpm"}
    (folder / "class.json").write_text(json.dumps(kept))
    with pytest.raises(ClassError, match="the version that made it"):
        mark_class(folder)
    kept["numbers"] = {"somebody": []}
    (folder / "class.json").write_text(json.dumps(kept))
    with pytest.raises(ClassError, match="does not match its list"):
        mark_class(folder)


def test_a_copied_notebook_is_remarked_and_a_hostile_one_stops_nothing(tmp_path: Path) -> None:
    make_class(tmp_path / "class", 2, "5", ["blade_angles.less_the_reference"])
    sent = tmp_path / "class" / "notebooks"
    fill_in(sent / "student-01.ipynb", {1: "-2+3+cmd|' /C calc'!A0"})
    (sent / "student-02.ipynb").write_bytes((sent / "student-01.ipynb").read_bytes())
    (sent / "deep.ipynb").write_text("[" * 200_000)
    marked = mark_class(tmp_path / "class")
    assert [one.typed != "" for one in marked.answers] == [True, False]
    assert any("student-02.ipynb" in one and "ask whose work" in one for one in marked.remarks)
    assert any("deep.ipynb" in one for one in marked.remarks)
    rows = list(csv.reader((tmp_path / "class" / MARKS_FILE).open(encoding="utf-8")))
    assert (rows[1][0], rows[1][3][:3]) == ("student-01", "'-2")


def test_the_papers_and_the_command(tmp_path: Path) -> None:
    run = CliRunner().invoke(app, ["class", str(tmp_path / "c"), "--students", "2", "--seed", "3", "--no-pdf"])
    assert run.exit_code == 0, run.output
    made = read_class(tmp_path / "c")
    questions, key = ((tmp_path / "c" / f"{name}.html").read_text("utf-8") for name in ("questions", "key"))
    for student in made.students:
        for name in made.questions:
            answer = made.posed(student, name).answer_text
            assert f": {answer}" in key.replace("\u00a0", " ")
            assert f": {answer}" not in questions
    sheets, answers = class_documents(made, clock.now())
    assert pdf_of(sheets, clock.now()).startswith(b"%PDF")  # its first piece is nothing but the title
    assert sum(isinstance(block, Heading) for block in sheets.blocks) == 2
    for name in made.questions:  # the key has what was asked of whom, and a head that is true of each of its pages
        assert made.posed("student-02", name).question in repr(answers)
    assert [one.text for one in answers.blocks if isinstance(one, Heading) and one.level == 1] == ["Key of 2 students"]
    assert made.posed("student-01", USUAL[0]).in_short[0] == "θ = s × (r - r_0)"
    first = next(block for block in sheets.blocks if isinstance(block, Together))
    assert any(isinstance(block, Paragraph) for block in first.blocks)
    run = CliRunner().invoke(app, ["class", "mark", str(tmp_path / "c")])
    assert run.exit_code == 0
    assert "student-02" in run.output
    assert "No answers yet" in run.output
    assert "hardest" not in run.output
    for wrong, code, told in (
        (["class", str(tmp_path / "d")], 2, "how many students"),
        (["class", "a", "b"], 2, "name one folder"),
        (["class", "mark", str(tmp_path)], 1, "no class.json"),
    ):
        run = CliRunner().invoke(app, wrong)
        assert run.exit_code == code
        assert told in " ".join(run.output.split())
