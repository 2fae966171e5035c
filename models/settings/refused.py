"""What a validator of a setting raises."""


class RefusedError(ValueError):
    """A value that a setting does not take.

    phrase: completes "NAME = VALUE ..."; where `at` leads from the checked table to the setting concerned, a sentence
    of its own.
    """

    def __init__(self, phrase: str, next_step: str, at: tuple[str | int, ...] = ()) -> None:
        self.phrase, self.next_step, self.at = phrase, next_step, at
        super().__init__(phrase)
