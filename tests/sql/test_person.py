"""A person in a text is found as people write names, and nobody and nothing else is taken for them."""

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
