"""The function that pickles of fillmark's values name."""

from __future__ import annotations

from typing import Any

__all__ = ["call", "method", "part", "rebuild"]


def rebuild(cls: type[Any], method: str, keywords: dict[str, Any]) -> Any:  # noqa: ANN401 - any class of the package
    """Call the constructor `method` of `cls` (``""``: the class itself) with the keywords of the pickled value."""
    constructor = getattr(cls, method) if method else cls
    return constructor(**keywords)


def call(name: str, keywords: dict[str, Any]) -> Any:  # noqa: ANN401 - any result of the package
    """Call the function `name` of the package again: its result depends on nothing but its arguments."""
    import fillmark

    return getattr(fillmark, name)(**keywords)


def method(owner: Any, name: str, keywords: dict[str, Any]) -> Any:  # noqa: ANN401 - any value and its method's result
    """Call the method `name` of `owner` again: its result depends on nothing but the two."""
    return getattr(owner, name)(**keywords)


def part(owner: Any, attribute: str, index: int | None) -> Any:  # noqa: ANN401 - any result and its part
    """Take a part of a result: its attribute, or the element of that attribute."""
    value = getattr(owner, attribute)
    return value if index is None else value[index]
