"""Every exception of fillmark.

All descend from `FillmarkError`. Each domain has one class, which is also the fitting built-in, so that code written
for `ValueError` or `OSError` keeps working. The numbers of an error travel as attributes, not only in its text.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = [
    "CircuitError",
    "EstimateError",
    "ExplainError",
    "FileError",
    "FillmarkError",
    "FluidError",
    "GeometryError",
    "InternalError",
    "LearnError",
    "QuantityError",
    "ServiceError",
]


class FillmarkError(Exception):
    """Root of every exception that fillmark raises on purpose.

    Parameters
    ----------
    message : str
        What is wrong, where, the value, and what is accepted.
    code : str
        Stable code: the domain, a full stop and the case, such as ``"quantity.not_finite"``.
    fields : mapping
        The named values of the message.

    Attributes
    ----------
    code : str
        The stable code; it does not change when a message is reworded.
    fields : dict
        The named values of the message as plain Python objects.

    Examples
    --------
    >>> import fillmark as fm
    >>> error = fm.QuantityError("volume = -1 L", "quantity.out_of_range", {"value": -1.0})
    >>> error.code, error.fields["value"], isinstance(error, ValueError)
    ('quantity.out_of_range', -1.0, True)
    """

    code: str
    fields: dict[str, Any]

    def __init__(self, message: str, code: str = "", fields: Mapping[str, Any] | None = None) -> None:
        super().__init__(message)
        self.code = code
        self.fields = dict(fields or {})


class QuantityError(FillmarkError, ValueError):
    """A number is not finite or out of range, or the text of a quantity cannot be read."""


class GeometryError(FillmarkError, ValueError):
    """A shape is open, inside out or self-contradictory, or a question lies outside it."""


class FluidError(FillmarkError, ValueError):
    """A fluid is described impossibly, or asked for outside the range of its correlations."""


class CircuitError(FillmarkError, ValueError):
    """A circuit contradicts itself, or lacks a part that the question needs."""


class ServiceError(FillmarkError, ValueError):
    """An event cannot be carried out in the order given."""


class EstimateError(FillmarkError, ValueError):
    """An uncertain value or an estimate from one is not defined."""


class ExplainError(FillmarkError, ValueError):
    """A record contradicts itself, or a hypothesis or a diagnosis is not defined."""


class LearnError(FillmarkError, ValueError):
    """A study to learn from is too small, contradicts itself, or says nothing about the question."""


class FileError(FillmarkError, OSError):
    """A file cannot be read, or what it says cannot be understood."""


class InternalError(FillmarkError, RuntimeError):
    """A defect of fillmark itself; please report it with `build_info`."""
