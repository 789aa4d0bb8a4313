"""What is one click away in a form: a row of buttons, and the place where what is asked for opens."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from rotorkit.notebook import widgets
from rotorkit.notebook.layout import boxed

CLOSED, OPEN = "\N{BLACK RIGHT-POINTING SMALL TRIANGLE}", "\N{BLACK DOWN-POINTING SMALL TRIANGLE}"


class Opened:
    """Buttons, and one panel that shows what the last one asked for; pressed again, or by its own button, it closes.

    The buttons stay in sight however far down the form a person is, and the panel is at its top: so what was opened is
    gone to, by the panel's own button, from which the Tab key goes on into it.

    guard: what a button's action is done under. makes: by the button's word what makes its part; it is made once, when
    it is first asked for.
    """

    def __init__(self, guard: Callable[..., Any], makes: Mapping[str, Callable[[], Any]]) -> None:
        self._makes, self._made = makes, dict[str, Any]()
        self.shown = ""
        self.panel = boxed([], "rotorkit-panel", upright=True)
        self.close = widgets.Button(description="Close")
        widgets.show(self.close, False)
        self.close.on_click(guard(lambda _button: self.toggle(self.shown)))
        self.box = boxed([self.close, self.panel], "rotorkit-opened", upright=True)
        self._buttons = {word: widgets.Button(description=f"{CLOSED} {word}") for word in makes}
        for word, button in self._buttons.items():
            button.on_click(guard(lambda _button, word=word: self.toggle(word)))
        self.buttons = boxed(list(self._buttons.values()), "rotorkit-openings")

    @property
    def words(self) -> list[str]:
        """What can be opened, by its button's word."""
        return list(self._makes)

    def toggle(self, word: str) -> None:
        """Open a part, or close it where it is open."""
        self.shown = "" if self.shown == word else word
        if self.shown and word not in self._made:
            self._made[word] = self._makes[word]()
        self.panel.children = [self._made[word]] if self.shown else []
        for name, button in self._buttons.items():
            button.description = f"{OPEN if name == self.shown else CLOSED} {name}"
        widgets.show(self.close, bool(self.shown))
        self.close.description = f"Close {self.shown}"
        (self.close if self.shown else self._buttons[word]).focus()
