"""A person in a text is found as people write names, and nobody and nothing else is taken for them."""

from dataclasses import replace

import pytest

from sql.person import Person, person_called

OTHERS = ("Ada Lind jun.", "ADA-2", "ADA 3", "Lindqvist")


def ada() -> Person:
    return person_called("ADA", ["Ada Lind", "Adélie Zöe"], others=OTHERS, things=["BC"])


@pytest.mark.parametrize(
    "text",
    [
        "ADA",
        "ada was tired",
        "(Ada Lind)",
        "ada  LIND's rhythm",
        "ADA_week-12.csv",
        "week 12 ada_lind.csv",
        "Ade\u0301lie Zo\u0308e",
        "with Ada Lind jun. and Ada Lind",
        '["2026-03-02", "ADA", "x"]',
    ],
)
def test_a_person_is_found_by_code_or_name_in_any_spelling(text: str) -> None:
    assert ada().is_named_in(text)


@pytest.mark.parametrize("text", ["", "ADA2", "ADA-2", "ADA 3 pushed", "Canada", "Ada Lind jun.", "Lindqvist", "BC"])
def test_nobody_else_is_taken_for_the_person(text: str) -> None:
    assert not ada().is_named_in(text)
    assert ada().without(text, "gone") == text


def test_only_the_persons_words_go_even_where_they_stand_side_by_side() -> None:
    text = "ADA Ada Lind, ADA-2 and ADA_ADA.csv; Ada Lind jun."

    assert ada().without(text, "gone") == "gone gone, ADA-2 and gone_gone.csv; Ada Lind jun."


@pytest.mark.parametrize("code", ["7", "12-3", "P", "topspin", "net", "bc", "sessions"])
def test_a_code_that_means_something_else_too_is_not_looked_for_in_texts(code: str) -> None:
    """Else a player with the code 7 would take the seventh block of everybody away."""
    person = person_called(code, [code, "Ada Lind"], others=(), things=["BC"])

    assert not person.is_named_in(f"block 7, {code} and more")
    assert person.is_named_in("Ada Lind")


@pytest.mark.parametrize(
    "text",
    [
        "adelie zoe",
        "ADELIE ZOË",
        "Adélié Zöe",
        "Adélie Zoee, first",
        "Zoe Müller",
        "zoe mueller",
        "Zoë Muller",
        "ŁUKASZ ørn",
    ],
)
def test_a_name_is_found_however_its_marks_are_typed(text: str) -> None:
    names = ["Adélie Zöe", "Zoë Müller", "Łukasz Ørn"]

    assert person_called("P1", names, others=(), things=()).is_named_in(text)


@pytest.mark.parametrize(
    ("typed", "name"), [("Strasse", "Straße"), ("Oern", "Ørn"), ("Orn", "Ørn"), ("Lukasz", "Łukasz")]
)
def test_letters_without_a_mark_to_drop_are_found_as_people_type_them(typed: str, name: str) -> None:
    assert person_called("P1", [f"{name} Berg"], others=(), things=()).is_named_in(f"with {typed} berg")


def test_somebody_whose_name_differs_by_a_mark_alone_is_somebody_else() -> None:
    """Aña is forgotten; Ana stays, and so does whatever is written of her."""
    anya = person_called("P1", ["Aña Lind"], others=["Ana Lind"], things=())

    assert anya.without("Aña Lind and Ana Lind", "gone") == "gone and Ana Lind"


def test_a_part_of_the_name_may_mean_the_person_and_does_where_somebody_said_so() -> None:
    with_lind, with_per = "Lind was quick today", "with PER LIND"
    person = person_called("P1", ["Ada Lind"], others=["Per Lind", "Lindqvist"], things=["Wall"])
    assert [person.may_be_named_in(text) for text in (with_lind, with_per, "Lindqvist", "Ada Lind")] == [
        True,
        *[False] * 3,
    ]
    assert not person.is_named_in(with_lind)

    meant = replace(person, meant_in=frozenset({with_lind}))

    assert meant.is_named_in(with_lind)
    assert meant.without(with_lind, "gone") == "gone was quick today"
    assert not meant.is_named_in("LIND was slow"), "nobody has said so of this one"


def test_parts_that_mean_something_else_or_next_to_nothing_are_not_looked_for() -> None:
    person = person_called("P1", ["Al Short Net Wall"], others=(), things=["Wall"])

    assert not any(person.may_be_named_in(text) for text in ("al", "short and net", "at the wall"))


@pytest.mark.parametrize("name", ["A.*", "Ada (Lind", "[a-z]+", "Lind\\", "a|b Lind"])
def test_a_name_with_signs_of_a_pattern_is_looked_for_as_it_stands(name: str) -> None:
    person = person_called("P1", [name], others=["(?:x", "Lind ["], things=())

    assert not person.is_named_in("somebody else altogether")
    assert not person.may_be_named_in("zzz")
