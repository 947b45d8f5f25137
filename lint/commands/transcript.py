"""The answers of a conversation so far, so that it can go back to a question without losing one."""

from __future__ import annotations

from .questions import HELP, Ask

BACK = "back"
SAME = "="
NOTHING_BEFORE = "This is the first question.\n"


class WentBack(Exception):
    """Somebody wants to answer the question before; whoever holds the conversation begins anew."""


class Transcript:
    """Asks, and keeps what was answered; after going back it answers itself as far as it was kept."""

    def __init__(self, ask: Ask) -> None:
        self.ask = ask
        self.past: list[tuple[str, str]] = []  # one answer to each question
        self.to_repeat: list[tuple[str, str]] = []
        self.before: dict[str, str] = {}  # what was answered to questions that are asked again

    @property
    def is_repeating(self) -> bool:
        """Whether the next answer is one that was given already."""
        return bool(self.to_repeat)

    def __call__(self, question: str) -> str:
        """The answer to a question; raises WentBack where the one before is wanted again."""
        key = question.rsplit("\n", 1)[-1]
        if self.to_repeat and self.to_repeat[0][0] == key:
            return self._kept(key, self.to_repeat.pop(0)[1])
        self.before |= dict(self.to_repeat)
        self.to_repeat.clear()
        before = self.before.get(key, "")
        offer = f" (before: {before}; {SAME} keeps it)" if before else ""
        trouble = ""
        while True:
            answer = self.ask(f"{trouble}{question}{offer}").strip()
            if answer.lower() != BACK:
                break
            if self._goes_back_from(key):
                raise WentBack
            trouble = NOTHING_BEFORE
        return self._kept(key, before if before and answer == SAME else answer)

    def _kept(self, key: str, answer: str) -> str:
        """A second answer to the same question takes the place of the first."""
        if self.past and self.past[-1][0] == key:
            self.past.pop()
        self.past.append((key, answer))
        return answer

    def _goes_back_from(self, key: str) -> bool:
        """Drops the answer to the question before the one in hand; false where there is none."""
        if self.past and self.past[-1][0] == key:
            self.past.pop()
        if not self.past:
            return False
        again, answer = self.past.pop()
        if answer not in ("", HELP):
            self.before[again] = answer
        self.to_repeat, self.past = self.past, []
        return True
