"""What can be wrong with input, as data: the same list in the terminal, the build and the browser."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class InputProblem:
    """One mistake in a design file or form.

    ``path`` names the field (``module.voc``, ``run.home run.length``; empty for the file as a whole), ``said`` is what
    the reader wrote (shortened), ``wanted`` what is wanted there, ``example`` a right answer.
    """

    path: str
    said: str
    wanted: str
    example: str

    def line(self) -> str:
        """The problem on one line, as the terminal prints it."""
        return f"{self.path or 'file'}: said {self.said}; wanted {self.wanted}; for example {self.example}"


@dataclass(frozen=True, slots=True)
class Refused:
    """A design that cannot be read: everything that is wrong with it, in the order of the file."""

    problems: tuple[InputProblem, ...]
