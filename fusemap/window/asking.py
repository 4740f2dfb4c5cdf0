"""Questions whose answers come later, asked in a straight line.

A box must not wait for its answer, or the window behind it would stand still. What asks is written
as a coroutine all the same: it awaits the `Answer` that the box will give, and `begin` takes it
from one question to the next. No Qt.
"""

from collections.abc import Callable, Coroutine, Generator
from functools import partial
from typing import Any, Generic, TypeVar

Value = TypeVar("Value")
Steps = Coroutine["Answer[Any]", None, object]


class Answer(Generic[Value]):
    """What will be answered. It is given once and awaited by one; what comes later is not heard."""

    def __init__(self) -> None:
        self._given: list[Value] = []
        self._go_on: Callable[[], None] | None = None

    def give(self, value: Value) -> None:
        """Answer; whoever awaits it goes on at once."""
        if self._given:
            return
        self._given.append(value)
        if self._go_on is not None:
            self._go_on()

    def then(self, go_on: Callable[[], None]) -> None:
        """Call this when the answer is there."""
        self._go_on = go_on

    def __await__(self) -> Generator["Answer[Any]", None, Value]:
        if not self._given:
            yield self
        return self._given[0]


def begin(steps: Steps) -> None:
    """Run steps up to their first open question; each answer takes them on to the next.

    What is never answered (its box went with the window) goes away with the box.

    >>> async def ask(question):
    ...     print("hello", await question)
    >>> name = Answer()
    >>> begin(ask(name))
    >>> name.give("van")
    hello van
    """
    try:
        question = steps.send(None)
    except StopIteration:
        return
    question.then(partial(begin, steps))
