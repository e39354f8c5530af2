"""What a use case says when it cannot be done."""

from bomtui.storage.problems import Problem


class BomtuiError(Exception):
    """Something that the person can put right: one sentence, and where a file is at fault all that is wrong in it.

    Attributes:
        problems: Faults of a file, to be listed before the sentence.
    """

    def __init__(self, sentence: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(sentence)
        self.problems = problems


class UnknownNameError(BomtuiError):
    """The person named something that is not there: a variant, figure, rule, part, kind or schema."""
