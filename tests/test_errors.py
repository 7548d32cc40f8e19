import pytest

from waterkit.errors import FieldError, InputError, MachineError, Problem, WaterkitError


def test_a_problem_reads_as_place_field_and_message() -> None:
    problem = Problem("water-tests.csv", "'82,4' is not a number", "write 82.4", 14, "value")
    assert str(problem) == "water-tests.csv:14: value: '82,4' is not a number"


def test_a_problem_without_line_and_field_reads_as_file_and_message() -> None:
    assert str(Problem("club.toml", "is missing")) == "club.toml: is missing"


def test_problems_are_told_by_file_line_field_and_message() -> None:
    problems = [
        Problem("b.csv", "late", line=2),
        Problem("b.csv", "whole file"),
        Problem("b.csv", "second", line=10, field="x"),
        Problem("b.csv", "first", line=10, field="a"),
        Problem("a.csv", "other file", line=99),
    ]
    messages = [problem.message for problem in InputError(problems).problems]
    assert messages == ["other file", "whole file", "late", "first", "second"]


def test_an_input_error_tells_all_problems() -> None:
    error = InputError([Problem("b.csv", "two", line=2), Problem("a.csv", "one", line=1)])
    assert str(error) == "a.csv:1: one\nb.csv:2: two"


def test_one_root_for_everything_raised_on_purpose() -> None:
    assert issubclass(InputError, WaterkitError)
    assert issubclass(MachineError, WaterkitError)
    assert issubclass(FieldError, WaterkitError)


def test_a_field_error_carries_its_cure_and_is_a_value_error() -> None:
    with pytest.raises(ValueError, match="is not a number") as caught:
        raise FieldError("'x' is not a number", "write digits", "depth")
    assert isinstance(caught.value, FieldError)
    assert (caught.value.hint, caught.value.field) == ("write digits", "depth")
