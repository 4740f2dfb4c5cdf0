"""What asks goes on where it was answered, once, and not at all where nobody answers."""

import gc
import weakref

from fusemap.window.asking import Answer, begin


def test_steps_go_on_from_question_to_question() -> None:
    first, second = Answer[str](), Answer[str]()
    heard: list[str] = []

    async def steps() -> None:
        heard.append(await first)
        heard.append(await second)

    begin(steps())
    assert heard == []
    first.give("save")
    assert heard == ["save"]
    second.give("elsewhere")
    assert heard == ["save", "elsewhere"]


def test_an_answer_that_is_there_already_is_not_waited_for() -> None:
    answer = Answer[int]()
    answer.give(3)
    heard: list[int] = []

    async def steps() -> None:
        heard.append(await answer)

    begin(steps())
    assert heard == [3]


def test_only_the_first_answer_is_heard() -> None:
    answer = Answer[str]()
    heard: list[str] = []

    async def steps() -> None:
        heard.append(await answer)

    begin(steps())
    answer.give("discard")
    answer.give("save")
    assert heard == ["discard"]


def test_what_is_never_answered_goes_with_its_question() -> None:
    class Held:
        pass

    held = Held()
    gone = weakref.ref(held)

    async def steps(held: Held) -> None:
        await Answer[str]()

    begin(steps(held))
    del held
    gc.collect()
    assert gone() is None
